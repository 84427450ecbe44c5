"""What a trainee has tried and predicted, kept in their folder.

- `records`   what is kept of an answer
- `place`     what the file looks like, and what is left alone in its place
- `store`     the file: written anew with each answer; a damaged one is renewed
- `summary`   what the tries add up to
- `progress`  the progress kept in this folder, and the seed for its exercises
- `picture`   how far each lesson is, as a picture
"""
