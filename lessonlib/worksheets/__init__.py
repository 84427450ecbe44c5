"""Exercises for a class: set, handed in, marked, and what to talk about next.

- `worksheet`    which exercises, with how many points: from a small file, or by lesson and grade
- `trainees`     the list of a class, each with a set of numbers
- `handout`      for each trainee a notebook and a page to print; `key`, for the instructor
- `setting`      `set_worksheet`: writes all of these into one folder
- `hand_in`      the button that writes a trainee's answers into one file
- `submissions`  what comes back, read as data and never run
- `points`       what an answer is worth
- `statistics`   how hard an exercise is, and whether it tells trainees apart
- `report`       what each trainee hears, and what the class is to talk about
- `marking`      `mark_worksheet`: reads, marks, and accounts for every file
- `own`          `check_questions`: what is wrong with questions of one's own
"""
