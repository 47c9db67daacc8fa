" Chore books of besom: the classes of words, each on a standard group of highlighting.
" The words of the grammar are in autoload/chores/words.vim.

if exists('b:current_syntax')
  finish
endif
let s:cpo_save = &cpoptions
set cpoptions&vim

syntax case match

" Where a word ends; a lone carriage return is the rest of a line end, in a file that has both.
let s:end = '\%([ \t,#]\|\r\=$\)\@='
let s:name = '[^\x01-\x40\x5b-\x60\x7b-\x7f][^\x01-\x2c\x2e\x2f\x3a-\x40\x5b-\x60\x7b-\x7f]*' . s:end
let s:number = '\d\{1,4}' . s:end
let s:date = '\d\{4}-\d\d-\d\d' . s:end
let s:title = '"\%([^"\\]\|\\["\\]\)*"' . s:end
" Numbers and units by turns, at most two of each: a number alone is the time it may become.
let s:unit = '\%(' . g:chores#words#units . '\)' . s:end
let s:duration = join([s:number, s:unit, s:number, s:unit], '\%([ \t]\+') . repeat('\)\=', 3)

" A word of one of these groups.
function! s:Words(...) abort
  return '\%(' . join(map(copy(a:000), 'g:chores#words#{v:val}'), '\|') . '\)' . s:end
endfunction

" A word is what its place makes it. So a place has a group of its own, which knows what may
" follow; inside it stands one of the ten groups that have a colour.
function! s:Place(group, class, pattern, next) abort
  let l:next = empty(a:next) ? '' : ' skipwhite nextgroup=' . a:next
  execute 'syntax match ' . a:group . ' contained contains=' . a:class . l:next
        \ . ' +' . a:pattern . '+'
endfunction

" The first place of a line.
function! s:First(group, class, pattern, next) abort
  let l:next = empty(a:next) ? '' : ' skipwhite nextgroup=' . a:next
  execute 'syntax match ' . a:group . ' contains=' . a:class . l:next . ' +^' . a:pattern . '+'
endfunction

" A list of days in the place of a clause, which the clauses of a cluster follow.
function! s:DayList(place) abort
  let l:item = a:place . 'Day,' . a:place . 'Month,' . a:place . 'DayName'
  let l:next = a:place . 'DayComma,@' . a:place
  call s:Place(a:place . 'Days', 'choresKeyword', s:Words('day_lists'), l:item)
  call s:Place(a:place . 'DayName', 'choresName', s:name, l:next)
  call s:Place(a:place . 'Day', 'choresKeyword', s:Words('kinds_of_day', 'days'), l:next)
  call s:Place(a:place . 'Month', 'choresKeyword', s:Words('months'), a:place . 'To,' . l:next)
  call s:Place(a:place . 'To', 'choresKeyword', s:Words('to'), a:place . 'LastMonth')
  call s:Place(a:place . 'LastMonth', 'choresKeyword', s:Words('months'), l:next)
  call s:Place(a:place . 'DayComma', 'NONE', ',', l:item)
endfunction

" ---------------------------------------------------------------- the ten classes

syntax match choresKeyword contained +-\|\a\++
syntax match choresVerb contained +\a\++
syntax match choresName contained +[^ \t,#\r]\++
syntax match choresPerson contained +[^ \t,#\r]\++
syntax match choresArea contained +[^ \t,#\r]\++
syntax match choresNumber contained +\d\++
syntax match choresDate contained +[0-9:-]\++
execute 'syntax match choresDuration contained +' . s:duration . '+'
" These two also stand alone, so that a `#` in a title is none of a comment, even while the
" title has no second quote and behind a word that cannot be read.
syntax match choresTitle +"\%([^"\\\r]\|\\.\)*"\=+ contains=@Spell
syntax match choresComment +#[^\r]*+ contains=@Spell

" ---------------------------------------------------------------- the margin
" Sections and most declarations hold words of the grammar, numbers and dates, and no names.

let s:margin_words = s:Words('declarations', 'declaration_clauses', 'cadences', 'header_clauses',
      \ 'days', 'months', 'ordinals')
syntax cluster choresMargin contains=choresMarginWord,choresMarginNumber,choresMarginDate,
      \choresMarginTitle,choresMarginComma,choresMarginDays,choresBy
call s:First('choresMarginFirst', 'choresKeyword',
      \ s:Words('declarations', 'sections'), '@choresMargin')
call s:First('choresMarginCount', 'choresNumber', s:number, '@choresMargin')
call s:Place('choresMarginWord', 'choresKeyword', s:margin_words, '@choresMargin')
call s:Place('choresMarginNumber', 'choresNumber', s:number, '@choresMargin')
call s:Place('choresMarginDate', 'choresDate', s:date, '@choresMargin')
call s:Place('choresMarginDate', 'choresDate', '\d\d:\d\d' . s:end, '@choresMargin')
call s:Place('choresMarginTitle', 'choresTitle', s:title, '@choresMargin')
call s:Place('choresMarginComma', 'NONE', ',', '@choresMargin')

call s:First('choresPersonFirst', 'choresKeyword', s:Words('person_declarations'),
      \ 'choresOnePerson')
call s:First('choresAreaFirst', 'choresKeyword', s:Words('area_declarations'),
      \ 'choresOneArea')
call s:First('choresLimitFirst', 'choresKeyword', s:Words('limit_declarations'),
      \ 'choresLimited,choresLimitedDay')
call s:First('choresDaysFirst', 'choresKeyword', s:Words('days_declarations'), 'choresDays')
call s:First('choresAbsentFirst', 'choresKeyword', s:Words('absences'),
      \ 'choresAbsent,choresOpen,choresMarginDate')
call s:Place('choresOnePerson', 'choresPerson', s:name, '')
call s:Place('choresOneArea', 'choresArea', s:name, '')
call s:Place('choresDays', 'choresName', s:name, '@choresMargin')
call s:Place('choresLimited', 'choresPerson', s:name,
      \ 'choresDuration,choresLimitedOn,choresLimitedDay')
call s:Place('choresLimitedOn', 'choresName', s:name, 'choresDuration')
call s:Place('choresLimitedDay', 'choresKeyword', s:Words('kinds_of_day', 'days'),
      \ 'choresDuration')
call s:Place('choresAbsent', 'choresName', s:name, 'choresAbsentComma,@choresMargin')
call s:Place('choresAbsentComma', 'NONE', ',', 'choresAbsent')
call s:Place('choresOpen', 'choresKeyword', s:Words('open_spans') . '\%([ \t]\+' . s:date . '\)\@=',
      \ '@choresMargin')

" Days in a row: words of the grammar, or names.
call s:DayList('choresMargin')

" ---------------------------------------------------------------- chores

syntax cluster choresClause contains=choresClauseWord,choresClauseDate,choresClauseTime,
      \choresClauseTitle,choresClauseAreas,choresClauseNames,choresClauseBy,choresClauseDays
call s:First('choresChore', 'choresName', '[ \t]\+\zs' . s:name, '@choresClause')
call s:Place('choresClauseWord', 'choresKeyword', s:Words('chore_clauses'),
      \ '@choresClause')
call s:Place('choresClauseDate', 'choresDate', s:date, '@choresClause')
call s:Place('choresClauseTime', 'choresDuration', s:duration, '@choresClause')
call s:Place('choresClauseTitle', 'choresTitle', s:title, '@choresClause')

call s:Place('choresClauseAreas', 'choresKeyword', s:Words('area_lists'),
      \ 'choresListedArea')
call s:Place('choresListedArea', 'choresArea', s:name, 'choresAreaComma,@choresClause')
call s:Place('choresAreaComma', 'NONE', ',', 'choresListedArea')

call s:Place('choresClauseNames', 'choresKeyword', s:Words('name_lists'),
      \ 'choresListedName')
call s:Place('choresListedName', 'choresName', s:name, 'choresNameComma,@choresClause')
call s:Place('choresNameComma', 'NONE', ',', 'choresListedName')

call s:Place('choresClauseBy', 'choresKeyword', s:Words('people_lists'),
      \ 'choresDoer,choresEach')
call s:Place('choresDoer', 'choresPerson', s:name, 'choresJoiner,@choresClause')
call s:Place('choresEach', 'choresKeyword', s:Words('each'), 'choresOf,@choresClause')
call s:Place('choresOf', 'choresKeyword', s:Words('of'), 'choresListedDoer')
call s:Place('choresListedDoer', 'choresPerson', s:name, 'choresDoerComma,@choresClause')
call s:Place('choresDoerComma', 'NONE', ',', 'choresListedDoer')
call s:Place('choresJoiner', 'choresKeyword', s:Words('joiners'), 'choresDoer')

call s:DayList('choresClause')

" ---------------------------------------------------------------- steps

call s:First('choresStep', 'choresKeyword', '[ \t]*\zs-', 'choresStepText')
call s:Place('choresStepText', 'choresTitle', '[^ \t\r].*', '')
syntax match choresTitle contained +\%(^[ \t]*-[ \t]*\)\@<=[^ \t\r][^\r]*+ contains=@Spell

" ---------------------------------------------------------------- the record

call s:First('choresRecord', 'choresDate', s:date, 'choresRecordVerb')
call s:Place('choresRecordVerb', 'choresVerb', s:Words('verbs'), 'choresItem')
call s:Place('choresItem', 'choresName', s:name,
      \ 'choresItemComma,choresItemTime,choresRecordWord,choresBy')
call s:Place('choresItemTime', 'choresDuration', s:duration, 'choresItemComma,choresBy')
call s:Place('choresItemComma', 'NONE', ',', 'choresItem')
call s:Place('choresRecordWord', 'choresKeyword', s:Words('record_clauses'),
      \ 'choresRecordDate')
call s:Place('choresRecordDate', 'choresDate', s:date, '')

" People in a row, of the record and of `away`. This stands last: where two groups match, Vim takes
" the later one, and `by` is a word of the record too.
call s:Place('choresBy', 'choresKeyword', s:Words('people_lists'), 'choresPeople')
call s:Place('choresPeople', 'choresPerson', s:name, 'choresPeopleComma')
call s:Place('choresPeopleComma', 'NONE', ',', 'choresPeople')

" ---------------------------------------------------------------- colours

highlight default link choresComment Comment
highlight default link choresTitle String
highlight default link choresDate Constant
highlight default link choresDuration Number
highlight default link choresNumber Number
highlight default link choresVerb Statement
highlight default link choresName Function
highlight default link choresPerson Identifier
highlight default link choresArea Type
highlight default link choresKeyword Keyword

" Every line is read alone.
syntax sync minlines=1 maxlines=1

delfunction s:Words
delfunction s:Place
delfunction s:First
delfunction s:DayList
unlet s:end s:name s:number s:date s:unit s:duration s:title s:margin_words
let &cpoptions = s:cpo_save
unlet s:cpo_save

let b:current_syntax = 'chores'
