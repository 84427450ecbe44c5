"""A plan of tests drawn as a tree of nested lists, and as numbered steps for paper."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from lessonlib.diagnosis.bench_test import CAUTION
from lessonlib.diagnosis.plan import Leaf, Outcome, Step, TestPlan

STEP_HEADER = ("step", "test, unplugged", "the meter shows → then")

# The lines of the tree are the borders of its lists, so that it reads the same without them.
_STYLE = """
.hc-plan { overflow-x: auto; font-size: 0.95em; }
.hc-plan ul { margin: 0; padding-left: 1.1em; }
.hc-plan li { list-style: none; position: relative; padding: 0.1em 0 0.1em 0.9em;
  min-width: 15em; border-left: 1px solid; }
.hc-plan li:last-child { border-left-color: transparent; }
.hc-plan li::before { content: ""; position: absolute; left: -1px; top: 0; width: 0.7em;
  height: 0.85em; border-left: 1px solid; border-bottom: 1px solid; }
.hc-plan .hc-end { font-weight: 600; }
.hc-plan .hc-place { opacity: 0.75; }
"""


def plan_html(plan: TestPlan) -> str:
    """The whole plan as a drawn tree."""
    return (
        f'<div class="hc-plan" tabindex="0" role="group" aria-label="{escape(plan.caption)}">'
        f"<style>{_STYLE}</style><p><strong>{escape(plan.caption)}</strong></p>"
        f"<p>{escape(CAUTION)}</p>{_node(plan.root)}</div>"
    )


def _node(node: Step | Leaf) -> str:
    if isinstance(node, Leaf):
        return _ending(node)
    outcomes = "".join(f"<li>{_outcome(outcome)}</li>" for outcome in node.outcomes)
    place = f'<span class="hc-place">{node.test.place}:</span>'
    return f"{place} {escape(node.test.words)}<ul>{outcomes}</ul>"


def _outcome(outcome: Outcome) -> str:
    if isinstance(outcome.then, Leaf):
        return f"{outcome.text} → {_ending(outcome.then)}"
    return f"{outcome.text}: {_node(outcome.then)}"


def _ending(leaf: Leaf) -> str:
    tells = "".join(f"<br>{escape(line)}" for line in leaf.would_tell)
    return f'<span class="hc-end">{escape(" or ".join(leaf.words))}</span>{tells}'


def numbered_steps(plan: TestPlan) -> tuple[tuple[str, str, str], ...]:
    """Rows below `STEP_HEADER`: one for each step, in the order of the tree."""
    if isinstance(plan.root, Leaf):
        return (("1", "no test tells more", " or ".join(plan.root.words)),)
    steps = list(_steps(plan.root))
    number = {id(step): at for at, step in enumerate(steps, 1)}

    def after(outcome: Outcome) -> str:
        then = outcome.then
        to = " or ".join(then.words) if isinstance(then, Leaf) else f"step {number[id(then)]}"
        return f"{outcome.text} → {to}"

    return tuple(
        (
            str(number[id(step)]),
            f"{step.test.place}: {step.test.words}",
            "; ".join(after(outcome) for outcome in step.outcomes),
        )
        for step in steps
    )


def what_would_tell(plan: TestPlan) -> tuple[str, ...]:
    """For endings with more than one fault: what would tell them apart, each line once."""
    return tuple(dict.fromkeys(line for leaf in plan.leaves for line in leaf.would_tell))


def _steps(node: Step | Leaf) -> Iterator[Step]:
    if isinstance(node, Step):
        yield node
        for outcome in node.outcomes:
            yield from _steps(outcome.then)
