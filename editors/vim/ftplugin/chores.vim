" Chore books of besom: settings of a buffer.

if exists('b:did_ftplugin')
  finish
endif
let b:did_ftplugin = 1

setlocal comments=:# commentstring=#\ %s
" A comment does not go on by itself: the next line is mostly a chore, and must not be lost in one.
setlocal formatoptions-=t formatoptions-=r formatoptions-=o formatoptions+=cql
setlocal expandtab shiftwidth=4 softtabstop=4
" A name may hold hyphens.
setlocal iskeyword+=-
let b:undo_ftplugin = 'setlocal comments< commentstring< formatoptions< expandtab< shiftwidth<'
      \ . ' softtabstop< iskeyword<'

" Only a new file: one that was read keeps the encoding that it was read in.
if &modifiable && !filereadable(expand('%:p'))
  setlocal fileencoding=utf-8
endif

if get(g:, 'chores_folding', 0)
  setlocal foldmethod=expr foldexpr=chores#lines#fold(v:lnum)
  let b:undo_ftplugin .= ' foldmethod< foldexpr<'
endif
