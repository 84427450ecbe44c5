"""The form of a description, drawn by `describe.js`: its state, shared by browser and Python."""

from __future__ import annotations

from typing import Any

import traitlets

from lessonlib.page.join import script
from lessonlib.workbench.own_form import WorkbenchForm


class DescriptionView(WorkbenchForm):
    """Synced state of one description. With each `action` the browser sends `text` and counts up
    `asked`; once Python has acted it sets `heard` to that, and `done` to whether it could."""

    _esm = script("workbench/describe.js")

    text = traitlets.Unicode().tag(sync=True)
    action = traitlets.Dict().tag(sync=True)
    done = traitlets.Bool(True).tag(sync=True)
    said = traitlets.Unicode(help="The reply to the last action.").tag(sync=True)
    forms = traitlets.List(traitlets.Dict(), help="The fields of each kind of part.").tag(sync=True)
    parts = traitlets.List(traitlets.Dict(), help="Rows of the list of parts.").tag(sync=True)
    nodes = traitlets.List(traitlets.Unicode()).tag(sync=True)
    begins = traitlets.Dict(help="What a new part of each kind begins with.").tag(sync=True)
    wrong = traitlets.Dict(help="By key, what is wrong with what was typed.").tag(sync=True)
    suggested = traitlets.Dict(help="A value proposed for one field.").tag(sync=True)
    editable = traitlets.Bool(True, help="Whether the form can edit the text.").tag(sync=True)
    problems = traitlets.List(traitlets.Dict()).tag(sync=True)
    begun = traitlets.Bool(help="Whether it only lacks parts.").tag(sync=True)
    standing = traitlets.Unicode().tag(sync=True)
    remarks = traitlets.List(traitlets.Dict(), help="What is dangerous or odd.").tag(sync=True)
    picture = traitlets.Unicode(help="Our own schematic as HTML.").tag(sync=True)
    stale = traitlets.Bool(help="Whether the picture is of an earlier text.").tag(sync=True)
    looks: traitlets.List[Any] = traitlets.List(
        help="Name and button of all that can be shown."
    ).tag(sync=True)
    printable = traitlets.List(traitlets.Unicode(), help="Names of them.").tag(sync=True)
    look = traitlets.Unicode(help="The one shown now, by name; empty for none.").tag(sync=True)
    shown = traitlets.Unicode(help="It as HTML; empty where it is a widget.").tag(sync=True)
    papers = traitlets.List(traitlets.Dict(), help="Files of the page to print.").tag(sync=True)
    steps_back = traitlets.Int().tag(sync=True)
    steps_forward = traitlets.Int().tag(sync=True)
    saved = traitlets.List(traitlets.Unicode(), help="Own appliances.").tag(sync=True)
    examples = traitlets.List(traitlets.Unicode()).tag(sync=True)
    save_as = traitlets.Unicode(help="The name to save it under.").tag(sync=True)
    unsaved = traitlets.Bool().tag(sync=True)
    in_the_way = traitlets.Unicode(help="Name of a file that a save would replace.").tag(sync=True)
    begun_from = traitlets.Unicode(help="Name of the appliance it began with.").tag(sync=True)
