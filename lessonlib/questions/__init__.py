"""Predictions, checks and exercises: asked, read, marked and answered.

Reading what was typed:

- `units`, `spoken`, `numerals`, `reading`   typed text to a number and a unit; nothing is ever
  evaluated
- `names`      typed words to one of the names offered
- `reply`      a verdict and feedback as text, with a plain form and a notebook form

In the lessons:

- `question`   `predict`, `recall`, `check`
- `view`       the one view of a question, drawn by `form.js` with `fields.js`
- `exercise`   what an exercise, a slip and a template are; `draw`, what a template draws from
- `answers`    the kinds of answer: how each is read, compared and told
- `marking`    an answer is right, a slip, or something else, and the reply to it
- `content`    a question file, read; `content_lines`, what its lines of data come to, with
  `content_values`, `content_circuit`, `rewiring` and `content_readings`; `content_answers`, what is
  asked; `content_template`, the exercise; `numbers`, functions of ours for what data cannot say
- `apart`      whether an answer and its slips can be told from each other
- `bank`       the questions by name, and the exercises by lesson
- `task`       an exercise or a check with its tries; `form`, its view
- `overview`   `exercise_list`, `my_progress`; `chooser`, the buttons of the list in a notebook
"""
