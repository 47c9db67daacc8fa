;;; chores-mode.el --- Chore books: colours, findings, sections  -*- lexical-binding: t; -*-

;; Version: 0.1
;; Package-Requires: ((emacs "28.1"))
;; Keywords: languages, calendar

;;; Commentary:

;; A major mode for chore books, files that end in .chores.  README.md
;; beside this file says how to set it up.
;;
;; This file is made from chores-mode.el.in by editors/make.py, which
;; writes the words of the grammar into it.  Edit that one.

;;; Code:

(require 'cl-lib)
(require 'project)
(require 'seq)
(require 'subr-x)

(defvar compilation-error-regexp-alist)
(defvar compilation-error-regexp-alist-alist)
(defvar compilation-error-screen-columns)
(defvar compile-command)
(defvar eglot-lsp-context)
(defvar eglot-server-programs)
(defvar eglot-stay-out-of)
(defvar flymake-diagnostic-functions)

(declare-function flymake-diag-region "flymake")
(declare-function flymake-make-diagnostic "flymake")

(defgroup chores nil
  "Chore books."
  :group 'languages
  :prefix "chores-")

(defcustom chores-program '("besom")
  "The command besom: a program, and words that come before all others."
  :type '(repeat string))

(defcustom chores-lint-options nil
  "Words for `besom lint' on top, such as \"--without\" and a rule."
  :type '(repeat string))

(defcustom chores-folder nil
  "The folder that a household is kept in.
Where nil it is the folder of the file; in a project, such as a clone of
git, the folder above as long as that holds a book too."
  :type '(choice (const :tag "Find it" nil) directory)
  :safe #'stringp
  :local t)

;;;; Classes

(defface chores-comment-face '((t :inherit font-lock-comment-face))
  "Comments.")

(defface chores-title-face '((t :inherit font-lock-string-face))
  "Titles and notes, with their quotes.")

(defface chores-date-face '((t :inherit font-lock-constant-face))
  "Dates, and the time at which a day ends.")

(defface chores-duration-face
  `((t :inherit ,(if (facep 'font-lock-number-face)
                     'font-lock-number-face
                   'font-lock-constant-face)))
  "Numbers of minutes and hours, with their units.")

(defface chores-number-face '((t :inherit chores-duration-face))
  "All other numbers.")

(defface chores-verb-face '((t :inherit font-lock-builtin-face))
  "What was done with a chore on a day of the record.")

(defface chores-name-face '((t :inherit font-lock-function-name-face))
  "Names of chores and of things.")

(defface chores-person-face '((t :inherit font-lock-variable-name-face))
  "Names of people.")

(defface chores-area-face '((t :inherit font-lock-type-face))
  "Names of areas.")

(defface chores-keyword-face '((t :inherit font-lock-keyword-face))
  "Words of the grammar, days and months among them.")

(defconst chores--faces
  '((comment . chores-comment-face)
    (title . chores-title-face)
    (date . chores-date-face)
    (duration . chores-duration-face)
    (number . chores-number-face)
    (verb . chores-verb-face)
    (name . chores-name-face)
    (person . chores-person-face)
    (area . chores-area-face)
    (keyword . chores-keyword-face))
  "The face of each class of words.")

;;;; Words of the grammar

(defun chores--table (&rest groups)
  "A table of the words of GROUPS, each a list (CLASS AWAITED WORD...).
CLASS is the class of the words.  AWAITED is the class of a name that
comes behind them, or nil.  The first group with a word counts."
  (let ((table (make-hash-table :test #'equal)))
    (pcase-dolist (`(,class ,awaited . ,words) (reverse groups) table)
      (dolist (word words)
        (puthash word (cons class awaited) table)))))

(defconst chores--people-lists '(person "by"))
(defconst chores--dates
  '(nil "monday" "mon" "tuesday" "tue" "wednesday" "wed" "thursday" "thu" "friday" "fri" "saturday" "sat" "sunday" "sun" "january" "jan" "february" "feb" "march" "mar" "april" "apr" "may" "june" "jun" "july" "jul" "august" "aug" "september" "sep" "october" "oct" "november" "nov" "december" "dec" "first" "second" "third" "fourth" "fifth"))
(defconst chores--kinds-of-day '("weekday" "weekend" "monday" "mon" "tuesday" "tue" "wednesday" "wed" "thursday" "thu" "friday" "fri" "saturday" "sat" "sunday" "sun")
  "What may stand behind `limit' and is nobody's name.")
(defconst chores--limits '("limit"))
(defconst chores--open-spans '("from"))
(defconst chores--months '("january" "jan" "february" "feb" "march" "mar" "april" "apr" "may" "june" "jun" "july" "jul" "august" "aug" "september" "sep" "october" "oct" "november" "nov" "december" "dec"))
(defconst chores--day-lists '(day "during" "except"))
(defconst chores--each '("each"))
(defconst chores--units '("min" "h"))

(defconst chores--chore-words
  (chores--table '(keyword area "in")
                 '(keyword name "uses" "after")
                 `(keyword ,@chores--people-lists)
                 `(keyword ,@chores--day-lists)
                 '(keyword person "then" "or" "and" "of")
                 '(keyword day "to")
                 '(keyword nil "in" "by" "uses" "after" "each" "of" "during" "except" "from" "until" "vital" "expires" "spare" "paused" "then" "and" "or" "to"))
  "What may stand behind the name of a chore.")

(defconst chores--verbs
  (chores--table '(verb name "did" "skipped" "moved" "worked"))
  "What may stand behind the date of a line of the record.")

(defconst chores--record-words
  (chores--table `(keyword ,@chores--people-lists)
                 '(keyword nil "by" "to"))
  "What may stand behind a verb.")

(defconst chores--first-words
  (chores--table '(keyword person "person")
                 '(keyword area "area")
                 '(keyword name "days")
                 '(keyword absent "away" "rest")
                 `(keyword limited ,@chores--limits)
                 '(keyword nil "household" "since" "week" "weekend" "day" "person" "area" "days" "limit" "away" "rest" "every" "weekend" "once"))
  "What a line at the margin may begin with.")

(defconst chores--later-words
  (chores--table `(keyword ,@chores--people-lists)
                 `(keyword ,@chores--day-lists)
                 '(keyword day "to")
                 '(keyword nil "starts" "is" "ends" "by" "to" "from")
                 '(keyword nil "weekday" "weekend" "times" "after" "done" "once" "from" "to" "every" "day" "weekday" "weekend" "week" "on" "month" "days" "last" "weeks" "months")
                 '(keyword nil "within" "day" "days" "during" "except" "from" "until" "vital" "expires" "spare" "paused" "to")
                 `(keyword ,@chores--dates))
  "What may stand in a declaration or section behind its first word.")

(defconst chores--no-words (chores--table)
  "What may stand in a line of no kind.")

(defconst chores--header-regexp
  (concat "^\\(?:[0-9]\\{1,4\\}[ \t]+[^ \t#\n]"
          "\\|" (regexp-opt '("every" "weekend" "once")) "[ \t]+"
          "\\(?:[0-9]\\|"
          (regexp-opt '("times" "after" "done" "once" "from" "to" "every" "day" "weekday" "weekend" "week" "on" "month" "days" "last" "weeks" "months" "monday" "mon" "tuesday" "tue" "wednesday" "wed" "thursday" "thu" "friday" "fri" "saturday" "sat" "sunday" "sun" "january" "jan" "february" "feb" "march" "mar" "april" "apr" "may" "june" "jun" "july" "jul" "august" "aug" "september" "sep" "october" "oct" "november" "nov" "december" "dec"))
          "\\)\\)")
  "The beginning of a section.")

;;;; Words of a line

(defconst chores--title-regexp
  "\"\\(?:[^\"\\\n]\\|\\\\[\"\\]\\)*\\(\"\\)\\(?:[] \t\r,#]\\|$\\)"
  "A title and the character behind it; its last quote is group 1.")

(defun chores--next-word (end)
  "Move behind the next word of the line that ends at END.
Return (KIND START STOP): KIND is `comment', `title', `comma', `date',
`number' or `word', and nil for what is none of them.  Return nil where
no word is left."
  (skip-chars-forward " \t\r" end)
  (when (< (point) end)
    (let* ((start (point))
           (kind (chores--move-over-word end)))
      (list kind start (point)))))

(defun chores--move-over-word (end)
  "Move over the word at point, in a line that ends at END; return its kind."
  (pcase (char-after)
    (?# (goto-char end) (skip-chars-backward "\r") 'comment)
    (?, (forward-char) 'comma)
    ;; A title that is being typed has no end yet, and takes the rest of the line.
    (?\" (goto-char (if (looking-at chores--title-regexp) (match-end 1) end))
         'title)
    (_ (let ((start (point)))
         (skip-chars-forward "^ \t\r\n,#\"" end)
         (if (eq (char-after) ?\")
             nil
           (save-excursion
             (save-restriction
               (narrow-to-region start (point))
               (goto-char start)
               (chores--kind-of-run))))))))

(defun chores--kind-of-run ()
  "The kind of word that the narrowed buffer is."
  (cond
   ((looking-at-p "[[:alpha:]]\\(?:[[:alnum:]-]\\|[^[:ascii:]]\\)*\\'") 'word)
   ((looking-at-p "[0-9]\\{1,4\\}\\'") 'number)
   ((looking-at-p "[0-9]\\{4\\}-[0-9][0-9]-[0-9][0-9]\\'") 'date)
   ((looking-at-p "[0-9][0-9]:[0-9][0-9]\\'") 'date)))

(defun chores--line-kind ()
  "The kind of the line that begins at point.
It is `step', `chore', `record' or `margin'."
  (cond
   ((looking-at-p "[ \t]*-") 'step)
   ((looking-at-p "[ \t]") 'chore)
   ((looking-at-p "[0-9]+\\(?:[ \t\r]\\|$\\)") 'margin)
   ((looking-at-p "[0-9]") 'record)
   (t 'margin)))

(cl-defstruct (chores--state (:conc-name chores--) (:constructor chores--state))
  "What is known of a line at one of its words."
  (words nil :documentation "The table of what may stand here.")
  (awaited nil :documentation "The class of a name that has to stand here.")
  (listed nil :documentation "The class of names that a comma goes on with.")
  (numbers nil :documentation "The class of a number here.")
  (counted nil :documentation "Whether the word before is a number.")
  (begun nil :documentation "Whether the first word is read."))

(defun chores--classes (end)
  "The classes of words from point, where a line begins, to END, where it ends.
They are lists (CLASS START STOP).  What fits nowhere has no class, and
what stands behind it keeps its own."
  (if (eq (chores--line-kind) 'step)
      (chores--classes-of-step end)
    (chores--classes-of-words end)))

(defun chores--classes-of-step (end)
  "The classes of a step from point to END: its sign, and all else as a title."
  (skip-chars-forward " \t" end)
  (let ((sign (point)) start)
    (forward-char)
    (skip-chars-forward " \t" end)
    (setq start (point))
    (goto-char end)
    (skip-chars-backward " \t\r" start)
    (cons (list 'keyword sign (1+ sign))
          (and (< start (point)) (list (list 'title start (point)))))))

(defun chores--classes-of-words (end)
  "The classes of the words of a line that is no step, from point to END."
  (let* ((line (chores--line-kind))
         (state (chores--beginning line))
         classes word)
    (while (setq word (chores--next-word end))
      (pcase-let* ((`(,kind ,start ,stop) word)
                   (text (and (eq kind 'word)
                              (buffer-substring-no-properties start stop)))
                   (class (chores--class kind text state)))
        (unless (or (chores--begun state) (eq kind 'comment))
          (chores--begin state line class text))
        (when class
          (push (list class start stop) classes))))
    (nreverse classes)))

(defun chores--beginning (line)
  "The state before the first word of a line of the kind LINE."
  (pcase line
    ('chore (chores--state :words chores--chore-words
                           :awaited 'name :numbers 'duration :begun t))
    ('record (chores--state :words chores--verbs))
    (_ (chores--state :words chores--first-words :numbers 'number))))

(defun chores--begin (state line class text)
  "Bring STATE behind the first word of a LINE, which is TEXT of the class CLASS."
  (setf (chores--begun state) t)
  (cond
   ((not (eq class (pcase line ('record 'date) (_ class))))
    (setq class nil))
   ((eq line 'record)
    (setf (chores--numbers state) 'duration))
   (t
    (setf (chores--words state) chores--later-words)
    (when (and text (member text chores--limits))
      (setf (chores--numbers state) 'duration))))
  (unless class
    (setf (chores--words state) chores--no-words
          (chores--numbers state) nil)))

(defun chores--class (kind text state)
  "The class of a word of a KIND, with its TEXT where it is of letters.
STATE is brought behind the word."
  (let ((counted (chores--counted state)))
    (setf (chores--counted state) (eq kind 'number))
    (when (memq kind '(title date number))
      (setf (chores--awaited state) nil))
    (pcase kind
      ((or 'comment 'title 'date) kind)
      ('comma
       (setf (chores--awaited state) (chores--listed state))
       nil)
      ('number (chores--numbers state))
      ('word
       (cond
        ((chores--awaited state) (chores--class-of-name text state))
        ((and counted (eq (chores--numbers state) 'duration)
              (member text chores--units))
         'duration)
        (t (chores--class-of-known text state)))))))

(defun chores--class-of-name (text state)
  "The class of the word TEXT where STATE awaits a name."
  (let* ((awaited (chores--awaited state))
         (class (cond
                 ((eq awaited 'limited)
                  (if (member text chores--kinds-of-day) 'keyword 'person))
                 ((memq awaited '(day limited-on))
                  (if (or (member text chores--kinds-of-day)
                          (and (eq awaited 'day) (member text chores--months)))
                      'keyword
                    'name))
                 ((eq awaited 'absent)
                  (if (and (member text chores--open-spans)
                           (looking-at-p "[ \t]+[0-9]\\{4\\}-"))
                      'keyword
                    'name))
                 ((and (eq awaited 'person) (member text chores--each))
                  'keyword)
                 (t awaited))))
    (setf (chores--awaited state)
          (and (eq awaited 'limited) (eq class 'person) 'limited-on)
          (chores--listed state)
          (cond
           ((eq awaited 'day) 'day)
           ((and (eq awaited 'absent) (eq class 'name)) 'name)
           ((eq class awaited) class)))
    class))

(defun chores--class-of-known (text state)
  "The class of the word TEXT where STATE awaits no name."
  (pcase (gethash text (chores--words state))
    (`(,class . ,awaited)
     (setf (chores--awaited state) awaited
           (chores--listed state) nil)
     (when (eq class 'verb)
       (setf (chores--words state) chores--record-words))
     class)))

(defun chores--paint (limit)
  "Give the words of the lines from point to LIMIT the faces of their classes."
  (while (< (point) limit)
    (let ((end (line-end-position)))
      (pcase-dolist (`(,class ,start ,stop) (chores--classes end))
        (put-text-property start stop 'face (alist-get class chores--faces)))
      (goto-char end)
      (forward-line)))
  nil)

(defconst chores--font-lock-keywords '((chores--paint))
  "What font-lock is told: to call one function, which paints whole lines.")

;;;; Syntax

(defvar chores-mode-syntax-table
  (let ((table (make-syntax-table)))
    (modify-syntax-entry ?# "<" table)
    (modify-syntax-entry ?\n ">" table)
    (modify-syntax-entry ?- "_" table)
    (modify-syntax-entry ?' "." table)
    ;; Only the quotes of whole titles are quotes: see below.
    (modify-syntax-entry ?\" "." table)
    table)
  "Syntax of chore books.")

(defun chores--syntax-propertize (start end)
  "Make strings of the titles from START to END; each ends in its line."
  (goto-char start)
  (forward-line 0)
  (while (< (point) end)
    (let ((stop (line-end-position)) word)
      (if (eq (chores--line-kind) 'step)
          ;; In a step `#' begins no comment.
          (while (search-forward "#" stop t)
            (put-text-property (1- (point)) (point)
                               'syntax-table (string-to-syntax ".")))
        (while (setq word (chores--next-word stop))
          (when (eq (car word) 'title)
            (chores--propertize-title (nth 1 word)))))
      (goto-char stop)
      (forward-line))))

(defun chores--propertize-title (start)
  "Make a string of the title that begins at START, if it has an end."
  (save-excursion
    (goto-char start)
    (when (looking-at chores--title-regexp)
      (dolist (quote (list start (match-beginning 1)))
        (put-text-property quote (1+ quote)
                           'syntax-table (string-to-syntax "|"))))))

(defun chores--fill-paragraph (&optional justify)
  "Fill comments, JUSTIFY as usual; every other line has to stay as it is."
  (fill-comment-paragraph justify)
  t)

;;;; Indentation

(defun chores--begins-at-margin-p ()
  "Whether the text at point begins a line that stands at the margin."
  (or (looking-at-p "[0-9]")
      (looking-at-p "[<=>|]\\{7\\}")
      (save-excursion
        (pcase (chores--next-word (line-end-position))
          (`(word ,start ,stop)
           (gethash (buffer-substring-no-properties start stop)
                    chores--first-words))))))

(defun chores--below-section-p ()
  "Whether the line above is a section or a chore."
  (save-excursion
    (and (zerop (forward-line -1))
         (or (looking-at-p chores--header-regexp)
             (looking-at-p "[ \t]+[^ \t\r\n]")))))

(defun chores--section-above-p ()
  "Whether a section has begun above this line."
  (save-excursion
    (forward-line 0)
    (re-search-backward chores--header-regexp nil t)))

(defun chores--indentation ()
  "The column that this line should begin in.
White space at the start makes a chore of a line, so what is indented
stays so, and what is not goes in only where it could be nothing else."
  (save-excursion
    (let ((column (current-indentation)))
      (back-to-indentation)
      (cond
       ((looking-at-p "\r?$") (if (chores--below-section-p) 4 0))
       ((looking-at-p "-") 8)
       ((> column 0) 4)
       ((looking-at-p "#") 0)
       ((chores--begins-at-margin-p) 0)
       ((chores--section-above-p) 4)
       (t 0)))))

(defun chores-indent-line ()
  "Indent this line: a chore by 4 blanks, a step by 8, all else by none.
On an empty line that stands where it should, go to the other of the
two for TAB."
  (let ((column (chores--indentation))
        (empty (save-excursion (forward-line 0) (looking-at-p "[ \t]*\r?$"))))
    (when (and empty
               (eq this-command 'indent-for-tab-command)
               (= column (current-indentation)))
      (setq column (- 4 column)))
    (if (<= (current-column) (current-indentation))
        (indent-line-to column)
      (save-excursion (indent-line-to column)))))

;;;; Sections

(defun chores--header-at-point ()
  "The section that begins at point, as it is written, without its comment."
  (save-excursion
    (let ((start (point)) (stop (point)) (end (line-end-position)) word)
      (while (and (setq word (chores--next-word end))
                  (not (eq (car word) 'comment)))
        (setq stop (nth 2 word)))
      (buffer-substring-no-properties start stop))))

(defun chores--imenu ()
  "The sections and the chores, each with its place."
  (let (sections chores)
    (save-excursion
      (goto-char (point-min))
      (while (not (eobp))
        (cond
         ((looking-at-p chores--header-regexp)
          (push (cons (chores--header-at-point) (point-marker)) sections))
         ((looking-at "[ \t]+\\([[:alpha:]][^] \t\r\n,#\"]*\\)")
          (push (cons (match-string-no-properties 1)
                      (copy-marker (match-beginning 1)))
                chores)))
        (forward-line)))
    (append (nreverse sections)
            (and chores (list (cons "Chores" (nreverse chores)))))))

;;;; Households

(defconst chores--book-regexp "\\`[^.].*\\.chores\\'"
  "The names of books.")

(defun chores--wide-folder-p (folder)
  "Whether FOLDER is a home or a root, which no household has to itself."
  (member folder (list (file-name-as-directory (expand-file-name "~"))
                       (chores--above folder))))

(defun chores--household-folder ()
  "The folder of the household that this buffer belongs to."
  (let ((folder (expand-file-name default-directory))
        (named (and chores-folder
                    (file-name-as-directory (expand-file-name chores-folder)))))
    (cond
     ((and named (string-prefix-p named folder)) named)
     ((file-remote-p folder) folder)
     (t (chores--highest-folder folder)))))

(defun chores--highest-folder (folder)
  "The highest folder above FOLDER with a book in it, in the same project.
Only folders without a gap between them count."
  (let* ((eglot-lsp-context nil)
         (project (project-current nil folder))
         (root (and project (expand-file-name (project-root project)))))
    (while (and root
                (not (equal folder root))
                (string-prefix-p root folder)
                (directory-files (chores--above folder) nil
                                 chores--book-regexp t))
      (setq folder (chores--above folder)))
    folder))

(defun chores--above (folder)
  "The folder that FOLDER is in; a root is in itself."
  (file-name-directory (directory-file-name folder)))

(defun chores--project (_directory)
  "The household as a project, for Eglot alone."
  (and (bound-and-true-p eglot-lsp-context)
       (cons 'transient (chores--household-folder))))

(defun chores--books (folder)
  "The names of the books of FOLDER, from there."
  (mapcar (lambda (path) (file-relative-name path folder))
          (if (chores--wide-folder-p folder)
              (directory-files folder t chores--book-regexp)
            (directory-files-recursively
             folder chores--book-regexp nil
             (lambda (below)
               (not (string-prefix-p "." (file-name-nondirectory below))))))))

(defun chores--copy-text (buffer target)
  "Write the text of BUFFER, as it would be saved, to the file TARGET."
  (make-directory (file-name-directory target) t)
  (with-current-buffer buffer
    (save-restriction
      (widen)
      (let ((coding-system-for-write buffer-file-coding-system)
            (write-region-annotate-functions nil))
        (write-region nil nil target nil 'quiet)))))

(defun chores--copy-household (folder target)
  "Copy the books of FOLDER below TARGET, what is not yet saved included.
Return the name of this buffer's book there."
  (let ((own (if buffer-file-name
                 (file-relative-name (expand-file-name buffer-file-name) folder)
               "unnamed.chores")))
    (dolist (name (and buffer-file-name (chores--books folder)))
      (let* ((path (expand-file-name name folder))
             (copy (expand-file-name name target))
             (buffer (get-file-buffer path)))
        (cond
         ((equal name own))
         ((and buffer (buffer-modified-p buffer)) (chores--copy-text buffer copy))
         ((file-readable-p path)
          (make-directory (file-name-directory copy) t)
          (copy-file path copy t)))))
    (chores--copy-text (current-buffer) (expand-file-name own target))
    own))

(defun chores--has-section-p (folder)
  "Whether a book in FOLDER has a section."
  (seq-some (lambda (name)
              (with-temp-buffer
                (insert-file-contents (expand-file-name name folder))
                (re-search-forward chores--header-regexp nil t)))
            (chores--books folder)))

;;;; Findings while typing

(defvar-local chores--lint nil
  "The process that looks for findings in this buffer.")

(defun chores-flymake (report &rest _)
  "Find what is wrong in this book, and tell REPORT.
The whole household is looked at, as it stands in its files and, where
those are not saved, in their buffers."
  (unless (executable-find (car chores-program))
    (error "There is no program %s; see chores-program" (car chores-program)))
  (when (process-live-p chores--lint)
    (delete-process chores--lint))
  (let* ((source (current-buffer))
         (target (file-name-as-directory (make-temp-file "chores-" t)))
         (own (condition-case fault
                  (chores--copy-household (chores--household-folder) target)
                (error (delete-directory target t)
                       (signal (car fault) (cdr fault)))))
         (default-directory target))
    (setq chores--lint
          (make-process
           :name "chores-lint"
           :buffer (generate-new-buffer " *chores-lint*")
           :command (chores--lint-command target)
           :connection-type 'pipe
           :coding 'utf-8-unix
           :noquery t
           :sentinel
           (lambda (process _event)
             (unless (process-live-p process)
               (chores--lint-ended process source own report)
               (kill-buffer (process-buffer process))
               (delete-directory target t)))))))

(defun chores--lint-command (folder)
  "The command that lints the household in FOLDER.
Where no book has a section, the routine is kept elsewhere, and which
names there are is not known."
  (append chores-program '("lint" "--as" "json") chores-lint-options
          (unless (chores--has-section-p folder)
            '("--without" "unknown-name"))))

(defun chores--lint-ended (process source own report)
  "Tell REPORT the findings of PROCESS about OWN, whose text is in SOURCE."
  (when (and (buffer-live-p source)
             (eq process (buffer-local-value 'chores--lint source)))
    (with-current-buffer (process-buffer process)
      (goto-char (point-min))
      (if (and (memq (process-exit-status process) '(0 1))
               (re-search-forward "^{" nil t))
          (progn
            (forward-char -1)
            (funcall report (chores--diagnostics source own)))
        (funcall report :panic
                 :explanation (string-trim (buffer-string)))))))

(defun chores--diagnostics (source own)
  "The findings about OWN, whose text is in SOURCE, in the JSON at point."
  (let ((findings (alist-get 'findings
                             (json-parse-buffer :object-type 'alist
                                                :array-type 'list
                                                :null-object nil))))
    (delq nil
          (mapcar (lambda (finding)
                    (and (equal (alist-get 'file finding) own)
                         (chores--diagnostic source finding)))
                  findings))))

(defun chores--diagnostic (source finding)
  "FINDING as a diagnostic of the buffer SOURCE."
  (let-alist finding
    (with-current-buffer source
      (save-restriction
        (widen)
        (pcase-let* ((`(,start . ,stop)
                      (chores--place .line .column (or .end_column .column)))
                     (fix (and .fix (concat "\n" .fix))))
          (flymake-make-diagnostic
           source start stop
           (pcase .severity
             ("error" :error)
             ("warning" :warning)
             (_ :note))
           (format "%s [%s]%s" .message .rule (or fix ""))))))))

(defun chores--place (line column end)
  "Where the characters from COLUMN to END of LINE are, as (START . STOP).
A place behind the last character of a line is shown on that character."
  (save-excursion
    (goto-char (point-min))
    (forward-line (1- line))
    (let* ((first (point))
           (last (line-end-position))
           (start (min last (+ first (1- column))))
           (stop (min last (+ first (1- end)))))
      (when (= start stop)
        (setq start (max first (1- start))
              stop (min (point-max) (1+ start))))
      (cons start stop))))

;;;; The mode

(defun chores--server-command (&optional _interactive)
  "The command of the language server."
  (append chores-program '("language-server")))

(defun chores--offer-lint ()
  "Let `compile' lint the household of this buffer, unless told otherwise."
  (unless (assq 'compile-command file-local-variables-alist)
    (setq-local compile-command (chores--lint-shell-command))))

(defun chores--lint-shell-command ()
  "The command with which `compile' lints the household of this buffer."
  (let* ((folder (chores--household-folder))
         (path (directory-file-name (file-relative-name folder))))
    (mapconcat #'shell-quote-argument
               (append chores-program '("lint")
                       (unless (equal path ".") (list path)))
               " ")))

;;;###autoload
(define-derived-mode chores-mode prog-mode "Chores"
  "Major mode for chore books."
  (setq-local comment-start "# "
              comment-end ""
              comment-start-skip "#+[ \t]*"
              comment-auto-fill-only-comments t
              fill-paragraph-function #'chores--fill-paragraph
              syntax-propertize-function #'chores--syntax-propertize
              parse-sexp-lookup-properties t
              font-lock-defaults '(chores--font-lock-keywords t)
              indent-tabs-mode nil
              indent-line-function #'chores-indent-line
              imenu-create-index-function #'chores--imenu
              outline-regexp chores--header-regexp
              outline-level (lambda () 1)
              ;; Eglot would list sections and chores under words of programs.
              eglot-stay-out-of (cons 'imenu (bound-and-true-p eglot-stay-out-of))
              ;; Columns are code points, however wide a sign or a tab is shown.
              compilation-error-screen-columns nil)
  (chores--offer-lint)
  ;; What a folder sets is known only behind this.
  (add-hook 'hack-local-variables-hook #'chores--offer-lint nil t)
  (add-hook 'project-find-functions #'chores--project nil t)
  (unless (file-remote-p default-directory)
    (add-hook 'flymake-diagnostic-functions #'chores-flymake nil t)))

;;;###autoload
(add-to-list 'auto-mode-alist '("\\.chores\\'" . chores-mode))

;; A book is UTF-8, and may begin with a byte-order mark.
;;;###autoload
(modify-coding-system-alist 'file "\\.chores\\'" '(utf-8-auto . utf-8))

(with-eval-after-load 'compile
  (add-to-list 'compilation-error-regexp-alist-alist
               '(besom "^\\(.+\\.chores\\):\\([0-9]+\\):\\([0-9]+\\): \
\\(?:error\\|\\(warning\\)\\|\\(note\\)\\): "
                       1 2 3 (4 . 5)))
  (add-to-list 'compilation-error-regexp-alist 'besom))

(with-eval-after-load 'eglot
  (add-to-list 'eglot-server-programs
               '(chores-mode . chores--server-command)))

(provide 'chores-mode)
;;; chores-mode.el ends here
