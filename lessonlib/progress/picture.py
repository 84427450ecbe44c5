"""Draws progress: a box for each question tried, by lesson, and the most frequent slips."""

from __future__ import annotations

from html import escape

from lessonlib.palette import PLOT, css_variables
from lessonlib.progress.summary import SLIPS_SHOWN, LessonSummary, Summary, words_of
from lessonlib.words import counted

_BAR_EM = 8
_STYLE = f"""\
{css_variables(".hc-progress", *PLOT, own_paper=False)}
.hc-progress {{ max-width: 34em; color: var(--hc-ink); line-height: 1.35; }}
.hc-progress p {{ margin: 0.4em 0; }}
.hc-progress small {{ color: var(--hc-quiet); font-size: inherit; }}
.hc-progress :is(.hc-lesson, .hc-slip) {{ display: flex; flex-wrap: wrap; gap: 0.2em 0.6em; }}
.hc-progress .hc-lesson {{ padding: 0.5em 0; border-top: 1px solid var(--hc-hair); }}
.hc-progress .hc-lesson > strong {{ flex: 0 0 5.8em; }}
.hc-progress .hc-boxes {{ flex: 1 0 8.2em; max-width: 10em; }}
.hc-progress :is(.hc-words, .hc-slip span) {{ flex: 1 1 9.6em; }}
.hc-progress small {{ display: inline-block; }}
.hc-progress i {{ display: inline-block; box-sizing: border-box; width: 1.3em;
  margin: 0 0.2em 2px 0; border: 2px solid var(--hc-flow); border-radius: 3px;
  color: var(--hc-flow); font: 0.9em/1.1 sans-serif; text-align: center; }}
.hc-progress i.hc-done {{ border-color: var(--hc-drive); background: var(--hc-drive);
  color: var(--hc-paper); }}
.hc-progress u {{ display: inline-block; height: 0.8em; margin-right: 0.4em; border-radius: 2px;
  background: var(--hc-heat); }}"""
_EMPTY = "Each question that you try appears here as a box."


def progress_picture(summary: Summary) -> str:
    """What is right in each lesson, the tries it took, and the most frequent slips, as HTML that
    fits any width."""
    boxes = f"{_box('', True)} right &ensp; {_box('', False)} tried, not right yet"
    parts = [f"<p><strong>{summary.total}</strong></p><p><small>{boxes}</small></p>"]
    if summary.lessons:
        parts += [*map(_lesson, summary.lessons), _slips(summary)]
    else:
        parts.append(f"<p>{_EMPTY}</p>")
    return f'<div class="hc-progress"><style>{_STYLE}</style>{"".join(parts)}</div>'


def _lesson(lesson: LessonSummary) -> str:
    boxes = "".join(_box(words_of(name), name in lesson.right) for name in lesson.tried)
    return (
        f'<div class="hc-lesson"><strong>{lesson.title}</strong>'
        f'<span class="hc-boxes">{boxes}</span>'
        f'<span class="hc-words">{lesson.counts}<br><small>{lesson.objectives}</small></span></div>'
    )


def _box(name: str, done: bool) -> str:
    """A question: filled with a tick where it is right, else an outline with a dot."""
    state = "right" if done else "tried, not right yet"
    named = f' role="img" title="{escape(f"{name}: {state}")}"' if name else ' aria-hidden="true"'
    return f'<i class="{"hc-done" if done else ""}"{named}>{"✓" if done else "•"}</i>'


def _slips(summary: Summary) -> str:
    if not summary.slips:
        return '<div class="hc-lesson">No known slips so far.</div>'
    rows = ['<p class="hc-lesson"><b>Most frequent slips</b></p>']
    most = summary.slips[0][1]
    for words, count in summary.slips[:SLIPS_SHOWN]:
        bar = f'<u style="width:{_BAR_EM * count / most:.1f}em"></u>{count} ×'
        said = escape(words[:1].upper() + words[1:])
        rows.append(f'<p class="hc-slip"><span>{said}</span><span>{bar}</span></p>')
    left = len(summary.slips) - SLIPS_SHOWN
    if left > 0:
        rows.append(f"<p><small>and {counted(left, 'other slip')}</small></p>")
    return "".join(rows)
