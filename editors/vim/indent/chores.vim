" Chore books of besom: chores stand one step in from the section they belong to.

if exists('b:did_indent')
  finish
endif
let b:did_indent = 1

setlocal autoindent indentexpr=chores#lines#indent(v:lnum)
" Asked at each new line, at a word that begins a section, and at a digit or the sign of a step that
" begins a line.
let &l:indentkeys = join(['o', 'O', '0-']
      \ + map(split(g:chores#words#sections, '\\|'), '"0=" . v:val . " "')
      \ + map(range(10), '"0=" . v:val'), ',')
let b:undo_indent = 'setlocal autoindent< indentexpr< indentkeys<'
