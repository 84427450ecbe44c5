"""Predictions and short checks in the lessons.

- `reading`    typed text to a number and a unit; nothing typed is ever evaluated
- `reply`      feedback as text, with a plain form and a notebook form
- `judging`    what a typed or chosen answer deserves to hear, as pure functions
- `question`   the front door: `predict`, `recall`, `check`
- `view`       the widget that shows a question, with its `question.js` and `question.css`
"""
