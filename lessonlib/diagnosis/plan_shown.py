"""A plan of tests drawn as a tree of nested lists, and as numbered steps for paper."""

from __future__ import annotations

from dataclasses import replace
from html import escape

from lessonlib.appliance.fault import CORD, Fault
from lessonlib.appliance.settings import complete, switch_words
from lessonlib.diagnosis.bench_test import BenchTest
from lessonlib.diagnosis.plan import Leaf, Outcome, Step, TestPlan, nodes
from lessonlib.diagnosis.ranges import exact
from lessonlib.safety import AT_BENCH

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
@media (max-width: 40rem) {
  .hc-plan ul { padding-left: 0.1em; }
  .hc-plan li { min-width: 9em; padding-left: 0.5em; }
}
.hc-plan .hc-end { font-weight: 600; }
.hc-plan .hc-place { opacity: 0.75; }
"""


def plan_html(plan: TestPlan) -> str:
    """The whole plan as a drawn tree."""
    return (
        f'<div class="hc-plan" tabindex="0" role="group" aria-label="{escape(plan.caption)}">'
        f"<style>{_STYLE}</style><p><strong>{escape(plan.caption)}</strong></p>"
        f"<p>{escape(AT_BENCH)}</p>{_node(plan.root)}</div>"
    )


def _node(node: Step | Leaf) -> str:
    if isinstance(node, Leaf):
        tells = "".join(f"<br>{escape(line)}" for line in node.would_tell)
        return f'<span class="hc-end">{escape(" or ".join(node.words))}</span>{tells}'
    outcomes = "".join(
        f"<li>{each.text}{' →' if isinstance(each.then, Leaf) else ':'} {_node(each.then)}</li>"
        for each in node.outcomes
    )
    place = f'<span class="hc-place">{node.test.place}:</span>'
    return f"{place} {escape(node.test.words)}<ul>{outcomes}</ul>"


def numbered_steps(plan: TestPlan) -> tuple[tuple[str, str, str], ...]:
    """Rows below `STEP_HEADER`: one for each step, in the order of the tree. A test names its place
    unless the case is open for it, and the switches unless all are at their start.

    Steps that only tell a part from its own wires, or the wires at one point, are left out: whoever
    has come so far looks at the wires, and measures the part by itself.
    """
    root = _coarse(plan.root)
    if isinstance(root, Leaf):
        return (("1", "no test tells more", _ending_words(root)),)
    steps = [node for node in nodes(root) if isinstance(node, Step)]
    number = {id(step): at for at, step in enumerate(steps, 1)}
    at_start = switch_words(plan.appliance, complete(plan.appliance))

    def after(outcome: Outcome) -> str:
        then = outcome.then
        to = _ending_words(then) if isinstance(then, Leaf) else f"step {number[id(then)]}"
        return f"{outcome.text} → {to}"

    def to_do(test: BenchTest) -> str:
        place = "" if test.place == "case open" else f"{test.place}: "
        switches = "" if test.switches == at_start else test.switches
        return f"{place}{replace(test, switches=switches).words}"

    return tuple(
        (str(number[id(step)]), to_do(step.test), "; ".join(map(after, step.outcomes)))
        for step in steps
    )


def _coarse(node: Step | Leaf) -> Step | Leaf:
    """`node` with one leaf for all that is of one part, or one contact, and its wires; and one for
    all wires at one point."""
    if isinstance(node, Leaf):
        return node
    outcomes = tuple(replace(each, then=_coarse(each.then)) for each in node.outcomes)
    ends = [each.then for each in outcomes if isinstance(each.then, Leaf)]
    faults = tuple(fault for leaf in ends for fault in leaf.faults)
    parts = {(fault.part, fault.contact) for fault in faults}
    points = {fault.node for fault in faults}
    # a fuse and cores of the cord are far apart
    together = (len(parts) == 1 and CORD not in {part for part, _ in parts}) or (
        len(points) == 1 and "" not in points
    )
    if not together or len(ends) < len(outcomes) or any(leaf.sound for leaf in ends):
        return replace(node, outcomes=outcomes)
    return Leaf(faults, False, tuple(line for leaf in ends for line in leaf.would_tell))


def _ending_words(leaf: Leaf) -> str:
    """What it may be, without sizes: "S1.2 not making or wire off at N or fed"."""
    said = ["no fault found"] if leaf.sound else []
    owners: dict[tuple[str, int], list[Fault]] = {}
    for fault in leaf.faults:
        owners.setdefault((fault.part, fault.contact), []).append(fault)
    for (part, _), faults in owners.items():
        alone = [exact((fault,)).unsized for fault in faults]
        if len(faults) == 1 or part == CORD:
            said += alone
            continue
        where = str(replace(faults[0], kind="open", node="")).removesuffix("open")
        own = [
            words.removeprefix(where)
            for fault, words in zip(faults, alone, strict=True)
            if not fault.node
        ]
        at: dict[str, list[str]] = {}
        for fault in faults:
            if fault.node:
                at.setdefault(fault.kind, []).append(fault.node)
        own += [f"{kind} at {' or '.join(nodes)}" for kind, nodes in at.items()]
        said.append(where + " or ".join(own))
    return " or ".join(said)


def what_would_tell(plan: TestPlan) -> tuple[str, ...]:
    """For endings with more than one fault: what would tell them apart, each line once."""
    return tuple(dict.fromkeys(line for leaf in plan.leaves for line in leaf.would_tell))
