" Columns of findings: besom counts code points, a list of errors counts bytes.

" Put the columns of the list that :make or :lmake has just filled in bytes.
function! chores#columns#to_bytes() abort
  let l:is_local = expand('<amatch>') =~# '^l'
  let l:what = {'items': 0, 'title': 0}
  let l:list = l:is_local ? getloclist(0, l:what) : getqflist(l:what)
  if l:list.title !~# 'besom lint'
    return
  endif
  let l:books = {}
  for l:item in filter(copy(l:list.items), 'v:val.valid && v:val.bufnr > 0 && v:val.col > 0')
    if !has_key(l:books, l:item.bufnr)
      let l:books[l:item.bufnr] = s:Lines(l:item.bufnr)
    endif
    let l:line = get(l:books[l:item.bufnr], l:item.lnum - 1, '')
    let l:bytes = byteidxcomp(l:line, l:item.col - 1)
    let l:item.col = (l:bytes < 0 ? strlen(l:line) : l:bytes) + 1
  endfor
  if l:is_local
    call setloclist(0, [], 'r', {'items': l:list.items})
  else
    call setqflist([], 'r', {'items': l:list.items})
  endif
endfunction

" The lines of a book as they were linted: of its file, without the mark of UTF-8 at its start.
function! s:Lines(buffer) abort
  let l:path = fnamemodify(bufname(a:buffer), ':p')
  let l:lines = filereadable(l:path) ? readfile(l:path) : []
  return empty(l:lines) ? [] : [substitute(l:lines[0], '^\%ufeff', '', '')] + l:lines[1:]
endfunction
