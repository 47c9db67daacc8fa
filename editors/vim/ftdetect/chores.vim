" Chore books of besom: files whose name ends in .chores.

autocmd BufRead,BufNewFile *.chores setfiletype chores
