"""What a trainee has tried and predicted, kept in their folder.

- `records`   what is kept of an answer
- `place`     whether the file may be opened, looked at before SQLite opens it
- `store`     the file: one short transaction for each answer, and what becomes of a damaged one
- `summary`   what the tries add up to
- `progress`  the progress of this folder, and the seed of its numbers
- `picture`   how far each lesson is, as a picture
"""
