"""Predictions, short checks and exercises; what a trainee has done.

Reading what was typed:

- `units`, `spoken`, `numerals`, `reading`   typed text to a number and a unit; nothing is ever
  evaluated
- `words`      typed words to one of the names offered
- `reply`      a verdict and feedback as text, with a plain form and a notebook form

In the lessons:

- `progress`   what was tried, kept in the trainee's folder (`progress_store` and its neighbours)
- `question`   `predict`, `recall`, `check`, shown by `view` and `question.js`
- `exercise`   what an exercise, a slip and a template are; `draw`, what a template draws from
- `answers`    the kinds of answer: how each is read, compared and told
- `marking`    what an answer to an exercise deserves to hear
- `bank`       the exercises, one module a lesson
- `task`       `exercise`: one of them with its tries, shown by `form` and `form.js`
- `overview`   `exercise_list`, `my_progress`
"""
