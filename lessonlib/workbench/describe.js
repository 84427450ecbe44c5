// Draws the form of a description: the parts so far, the fields of one part, the text of the file,
// what is wrong with it, and the drawing. Every press goes to Python; the text is the one truth.

const MOST_CHARACTERS = 1_000_000; // no appliance file comes near, a wrong paste does
const KEPT = "Your text is kept here.";
const STEPS = ["add", "change", "remove", "point"]; // what is answered beside the fields

function render({ model, el }) {
  const id = newId();
  const box = make("div", "hcq hcw");
  const pressed = { do: "" };
  let typing = 0;

  const act = (action) => {
    clearTimeout(typing);
    typing = 0;
    if (area.value.length > MOST_CHARACTERS) {
      say(`That is ${area.value.length} characters, and at most ${MOST_CHARACTERS} are read.`);
      return;
    }
    pressed.do = action.do;
    const turn = model.get("asked") + 1;
    model.set("text", area.value.toWellFormed?.() ?? area.value); // half a character cannot travel
    model.set("action", action);
    model.set("asked", turn);
    model.save_changes();
    wait.start(turn);
  };

  // Start from another one.
  const startForm = makeForm("hcw-bar", () => act({ do: "start", name: start.value }));
  const start = select([]);
  startForm.append(labelled(`${id}-start`, "Start from", start), makeButton("", "Open"));
  const undo = makeButton("", "Undo", () => act({ do: "undo" }));
  const redo = makeButton("", "Redo", () => act({ do: "redo" }));
  startForm.append(undo, redo);

  // What a browser kept when a page, or a kernel, went away.
  const rescue = makeForm("hcw-rescue", () => {});
  const choices = make("div", "hcq-buttons");
  rescue.append(
    make("p", "", "This browser has kept a text of yours that was not saved. It is not the one below."),
    choices,
  );
  choices.append(
    makeButton("hcq-main", "Restore it", () => {
      area.value = drafts.read(model.get("draft")) ?? area.value;
      rescue.hidden = true;
      act({ do: "type" });
    }),
    makeButton("", "Discard it", () => {
      rescue.hidden = true;
      keep();
    }),
  );

  // The parts so far, and the fields of one of them.
  const steps = makeForm("hcw-steps", () => open && act({ ...open.action, typed: open.filled() }));
  const list = make("ul", "hcw-parts");
  list.setAttribute("aria-label", "Parts so far");
  const nodes = make("datalist");
  nodes.id = `${id}-nodes`;
  const kind = select([["", "choose a kind"]]);
  const panel = make("div");
  const stepSaid = liveRegion();
  const locked = make(
    "p",
    "hcw-note",
    "The text cannot be read just now, so nothing can be added or changed here. Correct what is " +
      "listed under the text first, or press Undo.",
  );
  steps.append(
    make("h4", "", "Step by step"),
    list,
    labelled(`${id}-kind`, "Add a part", kind),
    panel,
    stepSaid,
    locked,
    nodes,
  );
  const pointForm = makeForm("hcw-bar", () =>
    act({ do: "point", name: point.value, new_name: newName.value }),
  );
  const point = select([]);
  point.classList.add("hcw-short");
  const newName = textBox("", "");
  newName.classList.add("hcw-short");
  pointForm.append(
    labelled(`${id}-point`, "Rename point", point),
    labelled(`${id}-new-name`, "to", newName),
    makeButton("", "Rename"),
  );
  let open = null;

  const form = (wanted) => model.get("forms").find((each) => each.kind === wanted);
  const close = () => {
    open = null;
    panel.replaceChildren();
    kind.value = "";
  };
  const show = (action, wanted, values, title, button) => {
    const group = fieldset(title);
    group.classList.add("hcw-open");
    const { hint } = form(wanted);
    const fields = fieldsOf(form(wanted), `${id}-field`, values, nodes.id);
    if (hint) group.append(make("p", "hcw-note", hint));
    group.append(fields.node);
    if (fields.node.querySelector("[list]")) {
      const words =
        "L, N and PE are the pins of the plug. Any other name makes a node; parts that use the " +
        "same name are joined there.";
      group.append(make("p", "hcw-note", words));
    }
    const buttons = make("div", "hcq-buttons");
    const leave = makeButton("", "Cancel", () => {
      close();
      kind.focus();
    });
    buttons.append(makeButton("hcq-main", button), leave);
    group.append(buttons);
    panel.replaceChildren(group);
    open = { action, filled: fields.filled };
  };
  const showNew = (wanted) => {
    if (!wanted) return close();
    const values = { name: model.get("names")[wanted] };
    show({ do: "add", kind: wanted }, wanted, values, `New ${form(wanted).word}`, "Add");
  };
  kind.addEventListener("change", () => showNew(kind.value));
  const showPart = (part) => {
    kind.value = "";
    const title = part.name === part.kind ? form(part.kind).word : part.name;
    show({ do: "change", name: part.name }, part.kind, part.values, `Change ${title}`, "Apply");
    panel.querySelector("input, select").focus();
  };

  // The text.
  const textForm = makeForm("hcw-text", () => {});
  const area = make("textarea", "hcq-input hcw-file");
  area.wrap = "off";
  area.spellcheck = false;
  area.autocapitalize = "off";
  area.autocomplete = "off";
  area.rows = 16;
  const keep = () => drafts.write(model.get("draft"), area.value);
  area.addEventListener("input", () => {
    keep();
    clearTimeout(typing);
    typing = setTimeout(() => act({ do: "type" }), TYPING_MS);
  });
  const standing = make("p", "hcw-standing");
  const problems = make("ol", "hcw-problems");
  const judged = make("div");
  judged.setAttribute("role", "status");
  const findings = make("ul", "hcw-findings");
  judged.append(standing, findings, problems);
  textForm.append(labelled(`${id}-text`, "The file's text: change it as you like", area), judged);
  textForm.querySelector("label").className = "hcw-head";

  // Save, and look. The name goes with the appliance until somebody types one.
  const saveForm = makeForm("hcw-bar", () => act({ do: "save", name: name.value, replace: false }));
  const name = textBox("", model.get("save_as"));
  let named = false;
  const replace = makeButton("", "", () => act({ do: "save", name: name.value, replace: true }));
  name.addEventListener("input", () => {
    named = true;
    replace.hidden = true;
  });
  const nameAgain = () => {
    named = false;
    name.value = model.get("save_as");
  };
  const unsaved = make("span", "hcw-note");
  saveForm.append(
    labelled(`${id}-name`, "Save as", name),
    makeButton("hcq-main", "Save"),
    replace,
    unsaved,
  );
  const lookForm = makeForm("hcw-bar", () => {});
  const live = makeButton("", "", () => act({ do: "live" }));
  lookForm.append(live);
  const said = liveRegion();
  const stale = make("p", "hcw-stale");
  const picture = make("div", "hcw-picture");

  const main = make("div", "hcw-main");
  const shown = make("div");
  shown.append(textForm, picture);
  const left = make("div");
  left.append(steps, pointForm);
  main.append(left, shown);
  const bars = make("div", "hcw-bars");
  bars.append(saveForm, lookForm);
  box.append(rescue, startForm, main, bars, said);
  const say = (text) => {
    const beside = STEPS.includes(pressed.do);
    write(beside ? stepSaid : said, text);
    write(beside ? said : stepSaid, "");
  };
  const wait = patience(model, () => say(`${NO_ANSWER} ${KEPT}`));

  const showText = () => {
    const text = model.get("text");
    if (typing || area.value === text) return;
    let same = 0;
    while (same < text.length && text[same] === area.value[same]) same += 1;
    area.value = text;
    // bring what has changed into view
    const line = text.slice(0, same).split("\n").length - 4;
    area.scrollTop = Math.max(0, line) * parseFloat(getComputedStyle(area).lineHeight || "20");
  };
  const showParts = () => {
    const focus = document.activeElement?.dataset ?? {};
    const rows = model.get("parts").map((part) => {
      const row = make("li", "hcw-part");
      const what = make("div", "hcw-what");
      const isTable = part.name === part.kind;
      what.append(make("strong", "", isTable ? part.word : part.name));
      if (!isTable) what.append(` ${part.word}`);
      what.append(make("div", "hcw-words", part.words));
      const buttons = [makeButton("", "Change", () => showPart(part))];
      if (!isTable) {
        const remove = { do: "remove", name: part.name };
        buttons.push(makeButton("", "Remove", () => act(remove)));
      }
      buttons.forEach((button) => {
        button.setAttribute("aria-label", `${button.textContent} ${isTable ? part.word : part.name}`);
        button.dataset.part = `${button.textContent} ${part.name}`;
      });
      const side = make("div", "hcq-buttons");
      side.append(...buttons);
      row.append(what, side);
      return row;
    });
    list.replaceChildren(...rows);
    if (focus.part) [...list.querySelectorAll("button")].find((b) => b.dataset.part === focus.part)?.focus();
  };
  const showNodes = () => {
    const all = model.get("nodes");
    nodes.replaceChildren(...all.map((node) => Object.assign(make("option"), { value: node })));
    const mine = all.filter((node) => !["L", "N", "PE"].includes(node));
    const chosen = point.value;
    point.replaceChildren(...select(mine.map((node) => [node, node])).children);
    if (mine.includes(chosen)) point.value = chosen;
    pointForm.hidden = !mine.length;
  };
  const showProblems = () => {
    const found = model.get("problems");
    standing.textContent = `${found.length ? "▲" : "✓"} ${model.get("standing")}`;
    findings.replaceChildren(
      ...model.get("findings").map(({ warning, words }) =>
        make("li", warning ? "hcw-warning" : "", `${warning ? "▲ " : ""}${words}`),
      ),
    );
    problems.replaceChildren(
      ...found.map((problem) => {
        const item = make("li");
        item.append(make("strong", "", problem.place));
        for (const key of ["found", "accepted", "next"]) {
          const line = make("div");
          line.append(make("span", "hcw-key", `${key}: `), problem[key]);
          item.append(line);
        }
        return item;
      }),
    );
  };
  const showPicture = () => {
    const drawn = new DOMParser().parseFromString(model.get("picture"), "text/html");
    picture.replaceChildren(...drawn.body.childNodes);
  };
  const showLook = () => {
    const open = model.get("live");
    picture.hidden = open;
    live.textContent = open ? "Show the plain drawing" : "Show the live panel";
    live.setAttribute("aria-disabled", String(!open && model.get("problems").length > 0));
    stale.hidden = !model.get("stale") && model.get("picture") !== "";
    stale.textContent = model.get("picture")
      ? `▲ Not up to date: the ${open ? "panel" : "drawing"} shows the last text without problems.`
      : "The drawing comes as soon as the text has no problems.";
    picture.classList.toggle("hcw-old", model.get("stale"));
    if (open) box.append(stale); // the panel is below
    else picture.before(stale);
  };
  const showState = () => {
    undo.setAttribute("aria-disabled", String(!model.get("steps_back")));
    redo.setAttribute("aria-disabled", String(!model.get("steps_forward")));
    unsaved.textContent = model.get("unsaved") ? "Not saved yet." : "";
    steps.classList.toggle("hcw-locked", !model.get("editable"));
    locked.hidden = model.get("editable");
    replace.hidden = !model.get("in_the_way");
    replace.textContent = `Replace ${model.get("in_the_way")}, keep the earlier one`;
  };
  const showOffered = () => {
    const names = [["", "a new appliance"], ...model.get("offered").map((each) => [each, each])];
    start.replaceChildren(...select(names).children);
    start.value = model.get("begun_from");
  };
  const showHeard = () => {
    if (pressed.do !== "type" || said.textContent.startsWith(NO_ANSWER)) say(model.get("said"));
    if (!model.get("done")) return;
    if (["add", "change"].includes(pressed.do)) {
      const inside = panel.contains(document.activeElement);
      close();
      if (inside) kind.focus();
    }
    if (model.get("unsaved")) keep();
    else drafts.write(model.get("draft"), null);
    if (["save", "start"].includes(pressed.do)) nameAgain();
    if (pressed.do === "point") newName.value = "";
  };
  const showName = () => {
    if (!named || ["undo", "redo"].includes(pressed.do)) nameAgain();
  };

  kind.append(
    ...select(
      model
        .get("forms")
        .filter((each) => each.kind !== "appliance")
        .map((each) => [each.kind, each.word]),
    ).children,
  );
  kind.value = "";
  const all = [showText, showParts, showNodes, showProblems, showPicture, showLook, showState, showOffered];
  const kept = drafts.read(model.get("draft"));
  rescue.hidden = kept === null || kept === model.get("text");
  area.value = model.get("text");
  all.forEach((each) => each());
  const listeners = listening(model);
  listeners.on(["change:text"], showText);
  listeners.on(["change:parts"], showParts);
  listeners.on(["change:nodes"], showNodes);
  listeners.on(["change:problems", "change:standing", "change:findings"], showProblems);
  listeners.on(["change:save_as"], showName);
  listeners.on(["change:picture"], showPicture);
  listeners.on(["change:stale", "change:picture", "change:live", "change:problems"], showLook);
  listeners.on(
    ["change:steps_back", "change:steps_forward", "change:unsaved", "change:editable", "change:in_the_way"],
    showState,
  );
  listeners.on(["change:offered", "change:begun_from"], showOffered);
  listeners.on(["change:heard"], showHeard);
  el.append(box);

  return () => {
    if (typing) act({ do: "type" }); // what was typed last
    wait.stop();
    listeners.stop();
  };
}

export default { render };
