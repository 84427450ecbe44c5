"""What a trainee has tried and predicted, kept in their folder.

- `records`   what is kept of an answer
- `place`     checks the file before SQLite opens it
- `store`     the file: one short transaction for each answer; a damaged file is renewed
- `summary`   what the tries add up to
- `progress`  the progress kept in this folder, and the seed for its exercises
- `picture`   how far each lesson is, as a picture
"""
