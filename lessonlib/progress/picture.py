"""Draws progress: a box for each question tried, by lesson, and the most frequent slips."""

from __future__ import annotations

from collections.abc import Callable

from lessonlib.curves.picture import Picture
from lessonlib.palette import DONE, INK, OPEN, PAPER, QUIET, SLIP
from lessonlib.progress.progress import Progress
from lessonlib.progress.records import Try
from lessonlib.progress.summary import SLIPS_SHOWN, LessonSummary, Summary, slip_of, words_of
from lessonlib.schematics.text import wrapped, xml
from lessonlib.words import counted

_WIDTH, _LEFT, _RIGHT = 412.0, 12.0, 400.0
_EMPTY_WIDTH = 350.0  # fits a telephone, where there is nothing to draw yet
_TEXT_PX, _LINE_PX = 13.0, 17.0
_SMALLEST, _LARGEST = 0.85, 1.262  # how much it may be scaled
_BOXES_AT, _BOX, _STEP, _BOXES_A_LINE = 114.0, 16.0, 20.0, 6
_WORDS_AT = 250.0
_BAR = 108.0
_EMPTY = "Each question that you try appears here as a box."


def progress_picture(progress: Progress, told: Callable[[Try], str] = slip_of) -> Picture:
    """What is right in each lesson, the tries it took, and the most frequent slips, which `told`
    puts into words. Its finding is the summary's text."""
    summary, note = progress.summary(told), progress.note
    parts: list[str] = []
    y = _head(parts, summary)
    for each in summary.lessons:
        y = _lesson(parts, each, y)
    if summary.lessons:
        y = _slips(parts, summary, y)
    if note:
        y += 8
        for line in wrapped(note, _RIGHT - _LEFT, _TEXT_PX):
            y += _LINE_PX
            parts.append(_text(line, _LEFT, y))
    height = y + 14
    width = _WIDTH if summary.lessons or note else _EMPTY_WIDTH
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="hw-progress" '
        f'viewBox="0 0 {width:g} {height:g}" font-family="sans-serif" font-size="{_TEXT_PX:g}">'
        f"<style>.hw-progress {{ max-width: {width * _LARGEST:.0f}px }}</style>"
        f"{''.join(parts)}</svg>"
    )
    finding = " ".join(f"Progress: {summary} {note}".split())
    return Picture(svg, finding, min_width_px=round(width * _SMALLEST))


def _head(parts: list[str], summary: Summary) -> float:
    y = 26.0
    parts.append(_text(summary.total, _LEFT, y, bold=True))
    y += 14
    parts += [_box(_LEFT, y, True), _text("right", _LEFT + 22, y + 13, QUIET)]
    parts += [_box(_LEFT + 74, y, False), _text("tried, not right yet", _LEFT + 96, y + 13, QUIET)]
    y += _BOX
    if not summary.lessons:
        for line in wrapped(_EMPTY, _RIGHT - _LEFT, _TEXT_PX):
            y += _LINE_PX + 6
            parts.append(_text(line, _LEFT, y))
    return y + 8


def _lesson(parts: list[str], lesson: LessonSummary, y: float) -> float:
    """One lesson under a thin line; returns where the next begins."""
    parts.append(_rule(y))
    top = y + 9
    parts.append(_text(lesson.title, _LEFT, top + 13, bold=True))
    right = set(lesson.right)
    for index, exercise in enumerate(lesson.tried):
        line, place = divmod(index, _BOXES_A_LINE)
        x, done = _BOXES_AT + place * _STEP, exercise in right
        title = f"{words_of(exercise)}: {'right' if done else 'tried, not right yet'}"
        parts.append(_box(x, top + line * _STEP, done, title))
    parts.append(_text(lesson.counts, _WORDS_AT, top + 13))
    if lesson.objectives:
        parts.append(_text(lesson.objectives, _WORDS_AT, top + 13 + _LINE_PX, QUIET))
    lines = -(-len(lesson.tried) // _BOXES_A_LINE)
    return top + max(13 + _LINE_PX + 9, lines * _STEP + 5)


def _slips(parts: list[str], summary: Summary, y: float) -> float:
    parts.append(_rule(y))
    y += 24
    if not summary.slips:
        parts.append(_text("No known slips so far.", _LEFT, y))
        return y
    parts.append(_text("Most frequent slips", _LEFT, y, bold=True))
    y += 6
    most = summary.slips[0][1]
    for words, count in summary.slips[:SLIPS_SHOWN]:
        length = _BAR * count / most
        parts.append(
            f'<rect x="{_WORDS_AT:g}" y="{y + 6:g}" width="{length:.1f}" height="12" rx="2" '
            f'fill="{SLIP}"/>'
        )
        parts.append(_text(f"{count} ×", _WORDS_AT + length + 6, y + 17))
        for line in wrapped(words[:1].upper() + words[1:], _WORDS_AT - 12 - _LEFT, _TEXT_PX):
            y += _LINE_PX
            parts.append(_text(line, _LEFT, y))
        y += 6
    left = len(summary.slips) - SLIPS_SHOWN
    if left > 0:
        y += _LINE_PX
        parts.append(_text(f"and {counted(left, 'other slip')}", _LEFT, y, QUIET))
    return y


def _box(x: float, y: float, done: bool, title: str = "") -> str:
    """An exercise: filled with a tick where it is right, else an outline with a dot."""
    colour = DONE if done else OPEN
    mark = (
        f'<path d="M{x + 4:g} {y + 8.5:g} l3 3.5 l5.5 -7.5" fill="none" stroke="{PAPER}" '
        'stroke-width="2" stroke-linecap="round" stroke-linejoin="round"/>'
        if done
        else f'<circle cx="{x + 8:g}" cy="{y + 8:g}" r="2.2" fill="{colour}"/>'
    )
    named = f"<title>{xml(title)}</title>" if title else ""
    return (
        f'<g>{named}<rect x="{x + 1:g}" y="{y + 1:g}" width="{_BOX - 2:g}" height="{_BOX - 2:g}" '
        f'rx="3" fill="{colour if done else PAPER}" stroke="{colour}" stroke-width="1.5"/>'
        f"{mark}</g>"
    )


def _text(words: str, x: float, y: float, colour: str = INK, bold: bool = False) -> str:
    weight = ' font-weight="bold"' if bold else ""
    return f'<text x="{x:g}" y="{y:g}" fill="{colour}"{weight}>{xml(words)}</text>'


def _rule(y: float) -> str:
    return (
        f'<line x1="{_LEFT:g}" x2="{_RIGHT:g}" y1="{y:g}" y2="{y:g}" stroke="{QUIET}" '
        'stroke-opacity="0.35"/>'
    )
