" What kind a line of a chore book is, and what follows from it: its fold and its indent.

let s:step = '^[ \t]*-'
let s:sections = '\%(' . g:chores#words#sections . '\)'

" A header, a chore, a step, a line of the record, a declaration; or nothing, for a line that is
" blank, a comment or the mark of a merge.
function! s:Kind(line) abort
  if a:line =~# '^[ \t]*\%(#\|\r\=$\)' || a:line =~# '^\([<=>|]\)\1\{6,}\%([ \t]\|\r\=$\)'
    return ''
  elseif a:line =~# s:step
    return 'step'
  elseif a:line =~# '^[ \t]'
    return 'chore'
  elseif a:line =~# '^\d\+\%([ \t]\|\r\=$\)'
    return 'header'
  elseif a:line =~# '^\d'
    return 'record'
  endif
  " `weekend is` declares; any other `weekend` heads chores.
  return a:line =~# '^' . s:sections . '[ \t]' && a:line !~# '^weekend[ \t]\+is[ \t]'
        \ ? 'header' : 'declaration'
endfunction

" The nearest line that is more than a comment, from a line on in steps of 1 or -1; else 0.
function! s:Nearest(lnum, step) abort
  let l:lnum = a:lnum
  while l:lnum > 0 && l:lnum <= line('$') && empty(s:Kind(getline(l:lnum)))
    let l:lnum += a:step
  endwhile
  return l:lnum > line('$') ? 0 : l:lnum
endfunction

" Whether a line of the record is of the month that the line above it is of.
function! s:GoesOn(lnum) abort
  let l:above = s:Nearest(a:lnum - 1, -1)
  return l:above > 0 && strpart(getline(l:above), 0, 8) ==# strpart(getline(a:lnum), 0, 8)
endfunction

" A section with its chores and their steps is one fold, and so is a month of the record. Comments and blank
" lines are part of a fold that goes on below them.
function! chores#lines#fold(lnum) abort
  let l:kind = s:Kind(getline(a:lnum))
  let l:below = empty(l:kind) ? s:Nearest(a:lnum, 1) : a:lnum
  let l:of_below = l:below > 0 ? s:Kind(getline(l:below)) : 'declaration'
  if l:of_below ==# 'chore' || l:of_below ==# 'step' || l:of_below ==# 'record' && s:GoesOn(l:below)
    return 1
  elseif l:below == a:lnum && (l:kind ==# 'header' || l:kind ==# 'record')
    return '>1'
  endif
  return 0
endfunction

" White space at the start of a line says that it is a chore. So a line that is there stays on
" its side of the margin; only one that is being typed goes where its first word belongs.
function! chores#lines#indent(lnum) abort
  let l:line = getline(a:lnum)
  let l:typing = mode() =~# '^[iR]'
  if l:line =~# '^[ \t]*#'
    return -1
  elseif l:line =~# s:step
    return 2 * shiftwidth()
  elseif l:typing && l:line =~# '^[ \t]*\%(\d\|' . s:sections . '[ \t]\)'
    return 0
  elseif !l:typing && l:line =~# '[^ \t\r]'
    return l:line =~# '^[ \t]' ? shiftwidth() : 0
  endif
  return s:AfterLine(a:lnum - 1)
endfunction

" The indent of a new line: below a header, a chore or a step stands a chore; a blank line ends a
" section.
function! s:AfterLine(above) abort
  let l:above = a:above
  while l:above > 0 && getline(l:above) =~# '^[ \t]*#'
    let l:above -= 1
  endwhile
  return index(['header', 'chore', 'step'], s:Kind(getline(l:above))) >= 0 ? shiftwidth() : 0
endfunction
