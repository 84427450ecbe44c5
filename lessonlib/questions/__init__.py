"""Predictions, checks and exercises: asked, read, marked and answered.

What was typed:

- `units`, `numerals`, `reading`   typed text to a number and a unit
- `names`      typed words to one of the names offered
- `answers`    the kinds of answer: how each is read and compared, and what is said about it
- `reply`      what a learner is told, as plain text and in a notebook

Question files:

- `content`    a file cut into its questions; `content_lines` works out their lines of data, with
  `content_words`, `content_circuit` and `arithmetic`
- `content_answers`    what is asked; `content_template`, the exercise
- `numbers`    Python functions for what lines of data cannot say
- `bank`       the questions by name, and the exercises by lesson

In the lessons:

- `exercise`   what an exercise, a slip and a template are; `draw`, what a template draws from
- `marking`    whether an answer is right, a slip, or something else, and which can be told apart
- `task`       `exercise`, `check`: an exercise with its tries; `form`, its view
- `prediction` `predict`, `recall`
- `view`       what a question shows, drawn by `form.js` with `fields.js`
- `lessons`    `lesson_list`, how far the trainee is in each lesson
- `overview`   `exercise_list`, `my_progress`; `chooser`, their buttons in a notebook
"""
