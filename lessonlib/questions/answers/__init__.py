"""The kinds of answer: how a reply is read, when it is right, and what is said about it.

- `answer`     what every kind has
- `number`     a quantity with its unit, and what there is to say about it
- `choice`     one of several options
- `setting`    which setting does what is asked
- `points`     which points are live
- `table`      a table of numbers to fill in
- `order`      things to put in order
- `circuit`    an appliance file, judged by what its circuit does
"""

from lessonlib.questions.answers.answer import Answer as Answer
from lessonlib.questions.answers.choice import Choice as Choice
from lessonlib.questions.answers.circuit import CircuitFile as CircuitFile
from lessonlib.questions.answers.number import Number as Number
from lessonlib.questions.answers.order import Order as Order
from lessonlib.questions.answers.points import Points as Points
from lessonlib.questions.answers.setting import OneSetting as OneSetting
from lessonlib.questions.answers.table import CellTable as CellTable
