;;; emacs.el --- What the tests ask of Emacs  -*- lexical-binding: t; -*-

;;; Commentary:

;; emacs_batch.py loads this behind chores-mode, and reads as JSON
;; what `told' prints.

;;; Code:

(require 'compile)
(require 'flymake)
(require 'imenu)
(require 'outline)

(setq backtrace-on-error-noninteractive nil
      vc-handled-backends nil
      make-backup-files nil
      create-lockfiles nil)

(defun told (value)
  "Print VALUE as JSON."
  (let ((coding-system-for-write 'utf-8))
    (princ (decode-coding-string (json-serialize value :null-object nil) 'utf-8))))

(defun text-of (buffer)
  "The whole text of BUFFER."
  (with-current-buffer buffer
    (save-restriction
      (widen)
      (buffer-substring-no-properties (point-min) (point-max)))))

(defmacro in-book (text &rest body)
  "Do BODY in a book of TEXT that is in no file."
  (declare (indent 1))
  `(with-temp-buffer
     (insert ,text)
     (goto-char (point-min))
     (chores-mode)
     ,@body))

;;;; Faces

(defun faces-here ()
  "The runs of faces in this buffer: vectors of line, start, end and face."
  (font-lock-ensure)
  (goto-char (point-min))
  (let (runs (number 0))
    (while (not (eobp))
      (let ((first (point)) (end (line-end-position)))
        (while (< (point) end)
          (let ((face (get-text-property (point) 'face))
                (next (next-single-property-change (point) 'face nil end)))
            (when face
              (push (vector number (- (point) first) (- next first)
                            (symbol-name face))
                    runs))
            (goto-char next))))
      (forward-line)
      (setq number (1+ number)))
    (vconcat (nreverse runs))))

(defun faces-of-books ()
  "The runs of faces in each book that the command line names."
  (let ((paths command-line-args-left))
    (setq command-line-args-left nil)
    (vconcat (mapcar (lambda (path)
                       (with-current-buffer (find-file-noselect path)
                         (unless (eq major-mode 'chores-mode)
                           (error "%s opens in %s" path major-mode))
                         (faces-here)))
                     paths))))

;;;; Typing

(defun tab-on-last-line (text)
  "What becomes of the last line of TEXT with TAB."
  (in-book text
    (goto-char (point-max))
    (let ((this-command 'indent-for-tab-command))
      (indent-for-tab-command))
    (buffer-substring-no-properties (line-beginning-position) (point-max))))

(defun typed (keys)
  "The text that typing KEYS gives in an empty book."
  (in-book ""
    (electric-indent-mode 1)
    (save-window-excursion
      (switch-to-buffer (current-buffer))
      (dolist (key (append keys nil))
        (setq last-command-event key)
        (if (eq key ?\n) (newline 1 t) (self-insert-command 1 key))))
    (text-of (current-buffer))))

(defun columns-of-strings (text)
  "For each line of TEXT whether it begins within a string or a comment."
  (in-book text
    (let (states)
      (while (not (eobp))
        (push (if (nth 8 (syntax-ppss)) t :false) states)
        (forward-line))
      (vconcat (nreverse states)))))

(defun shown-when-folded (path)
  "The lines of the book at PATH that are seen when its sections are folded."
  (with-current-buffer (find-file-noselect path)
    (outline-minor-mode 1)
    (outline-hide-body)
    (goto-char (point-min))
    (let (lines)
      (while (not (eobp))
        (unless (outline-invisible-p)
          (push (buffer-substring-no-properties (point) (line-end-position)) lines))
        (forward-line))
      (vconcat (nreverse lines)))))

(defun imenu-names (path)
  "The names that imenu gives in the book at PATH: sections, then chores."
  (with-current-buffer (find-file-noselect path)
    (let* ((index (imenu--make-index-alist t))
           (chores (cdr (assoc "Chores" index)))
           (named (lambda (entry)
                    (goto-char (cdr entry))
                    (vector (car entry) (line-number-at-pos)
                            (current-column)))))
      (vector (vconcat (mapcar named
                               (seq-filter (lambda (entry) (markerp (cdr entry))) index)))
              (vconcat (mapcar named chores))))))

;;;; Findings

(defun wait-until (holds what)
  "Wait until HOLDS returns something, and return it; WHAT says it for people."
  (let ((limit (time-add nil 30)) value)
    (while (not (setq value (funcall holds)))
      (when (time-less-p limit nil)
        (error "In 30 seconds there was no %s" what))
      (accept-process-output nil 0.02))
    value))

(defun marked ()
  "The diagnostics of this buffer in order: line, text marked, weight, words."
  (vconcat
   (mapcar (lambda (found)
             (vector (line-number-at-pos (flymake-diagnostic-beg found))
                     (buffer-substring-no-properties
                      (flymake-diagnostic-beg found) (flymake-diagnostic-end found))
                     (format "%s" (flymake-diagnostic-type found))
                     (flymake-diagnostic-text found)))
           (sort (flymake-diagnostics)
                 (lambda (one other)
                   (< (flymake-diagnostic-beg one) (flymake-diagnostic-beg other)))))))

(defun findings-in (buffer)
  "What flymake marks in BUFFER."
  (with-current-buffer buffer
    (flymake-mode 1)
    (flymake-start)
    (wait-until (lambda ()
                  (and (flymake-reporting-backends)
                       (null (seq-difference (flymake-running-backends)
                                             (flymake-reporting-backends)))))
                "answer of the linter")
    (prog1 (marked)
      (flymake-mode -1))))

(defun errors-visited (path)
  "The places that `next-error' goes to after `compile' in the book at PATH."
  (let (places)
    (with-current-buffer (find-file-noselect path)
      (let ((output (compilation-start compile-command)))
        (wait-until (lambda () (not (process-live-p (get-buffer-process output))))
                    "end of compile")
        (accept-process-output nil 0.02)
        (with-current-buffer output
          (font-lock-ensure)
          (goto-char (point-min))
          (while (ignore-errors (next-error) t)
            (with-current-buffer (window-buffer)
              (push (vector (buffer-name) (line-number-at-pos)
                            (buffer-substring-no-properties
                             (point) (progn (skip-chars-forward "^ ,\n") (point))))
                    places))))))
    (vconcat (nreverse places))))

;;;; The language server

(defmacro with-server (path day &rest body)
  "Do BODY in the book at PATH, managed by Eglot, for whose server it is DAY."
  (declare (indent 2))
  `(progn
     (package-initialize)
     (require 'eglot)
     (setq eglot-sync-connect t
           eglot-autoreconnect nil
           eglot-confirm-server-initiated-edits nil
           eglot-send-changes-idle-time 0)
     (advice-add 'chores--server-command :filter-return
                 (lambda (command) (append command (list "--on" ,day))))
     (with-current-buffer (find-file-noselect ,path)
       (apply #'eglot (eglot--guess-contact))
       (wait-until #'eglot-managed-p "connection to the language server")
       (prog1 (progn ,@body)
         (eglot-shutdown-all)))))

(defun server-findings ()
  "What the language server finds in this book."
  (flymake-start)
  (wait-until #'flymake-diagnostics "diagnostics")
  (marked))

(defun go-behind (text)
  "Go behind the first TEXT of this book."
  (goto-char (point-min))
  (search-forward text))

(defun completed-behind (text)
  "The names offered behind TEXT."
  (go-behind text)
  (pcase (run-hook-with-args-until-success 'completion-at-point-functions)
    (`(,start ,end ,table . ,_)
     (vconcat (mapcar #'substring-no-properties
                      (all-completions (buffer-substring start end) table))))))

(defun renamed (name new other)
  "The texts of this book and the one at OTHER after NAME is called NEW."
  ;; Eglot asks before it changes a book that no buffer holds.
  (let ((other (find-file-noselect other)))
    (go-behind name)
    (backward-char)
    (eglot-rename new)
    (vector (text-of (current-buffer)) (text-of other))))

(defun formatted-with (line)
  "The text of this book after LINE is added and the book formatted."
  (goto-char (point-max))
  (insert line)
  (eglot-format-buffer)
  (text-of (current-buffer)))

(defun place-of-declaration (name)
  "The book and the line where NAME is declared."
  (go-behind name)
  (backward-char)
  (save-current-buffer
    (xref-find-definitions nil)
    (set-buffer (window-buffer))
    (vector (buffer-name) (line-number-at-pos))))

;;; emacs.el ends here
