" The linter of chore books, for :make.

if exists('current_compiler')
  finish
endif
let current_compiler = 'besom'

if exists(':CompilerSet') != 2
  command -nargs=* CompilerSet setlocal <args>
endif

CompilerSet makeprg=besom\ lint\ --as\ brief\ $*
CompilerSet errorformat=%f:%l:%c:\ %trror:\ %m
CompilerSet errorformat+=%f:%l:%c:\ %tarning:\ %m
CompilerSet errorformat+=%I%f:%l:%c:\ note:\ %m
CompilerSet errorformat+=%-G%.%#

" besom counts characters, Vim bytes.
augroup besom_columns
  autocmd!
  autocmd QuickFixCmdPost make,lmake call chores#columns#to_bytes()
augroup END
