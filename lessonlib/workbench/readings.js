// Draws the form for readings: one group of fields for each, and below it what it is judged.

const KINDS = {
  resistance: "resistance, unplugged",
  power: "watts on an energy meter at the plug",
  current: "amperes on an energy meter at the plug",
};

const same = (texts) => texts.map((text) => [text, text]);

function render({ model, el }) {
  const id = newId();
  let typing = 0;
  let serialOfRow = 0;
  const form = makeForm("hcq hcw", () => send());
  const list = make("div");
  const late = liveRegion();
  const wait = patience(model, () => write(late, NO_ANSWER));
  const { rows: inModel, meters: usual } = model.get("given");
  const kept = inModel.length ? null : drafts.read(model.get("draft"));
  const meters = structuredClone({ ...usual, ...kept?.meters });
  let rows = []; // { typed, node, reply }

  const send = () => {
    clearTimeout(typing);
    typing = 0;
    const given = { rows: rows.map((row) => row.typed), meters };
    const turn = model.get("asked") + 1;
    model.set("given", JSON.parse(JSON.stringify(given)));
    model.set("asked", turn);
    model.save_changes();
    wait.start(turn);
  };
  const changed = () => {
    drafts.write(model.get("draft"), { rows: rows.map((row) => row.typed), meters });
    clearTimeout(typing);
    typing = setTimeout(send, TYPING_MS);
  };

  const rowOf = (typed) => {
    const number = ++serialOfRow;
    const node = make("fieldset", "hcq-choices hcw-group hcw-reading");
    const legend = make("legend");
    const fields = make("div", "hcw-row");
    const reply = liveRegion();
    const row = { typed, node, reply, legend };
    const field = (key, label, input) => {
      const isText = input.type === "text";
      if (key !== "kind") input.classList.add("hcw-short");
      input.addEventListener(isText ? "input" : "change", () => {
        typed[key] = input.value;
        if (key === "kind") show();
        changed();
      });
      return labelled(`${id}-${number}-${key}`, label, input);
    };
    const show = () => {
      const isOhms = typed.kind === "resistance";
      const kind = select(Object.entries(KINDS), typed.kind);
      kind.classList.add("hcw-kind");
      const shown = textBox("", typed.shown);
      shown.maxLength = 80;
      const parts = [field("kind", "What", kind)];
      if (isOhms) {
        const points = same(model.get("points"));
        parts.push(
          field("red", "red lead on", select(points, typed.red)),
          field("black", "black lead on", select(points, typed.black)),
        );
      }
      for (const { name, positions } of model.get("switches")) {
        const input = select(same(positions), typed.setting[name]);
        input.classList.add("hcw-short");
        input.addEventListener("change", () => {
          typed.setting[name] = input.value;
          changed();
        });
        parts.push(labelled(`${id}-${number}-switch-${name}`, `${name} at`, input));
      }
      const unit = model.get("units")[typed.kind];
      parts.push(field("shown", `the meter shows (${unit}${isOhms ? ", or OL" : ""})`, shown));
      if (!isOhms) {
        const volts = textBox("", typed.volts);
        volts.maxLength = 80;
        parts.push(field("volts", "volts on the same meter, if it shows them", volts));
      }
      const remove = makeButton("", "Remove", () => {
        rows = rows.filter((each) => each !== row);
        node.remove();
        name();
        changed();
        another.focus();
      });
      remove.setAttribute("aria-label", `Remove reading ${rows.indexOf(row) + 1}`);
      const focused = fields.contains(document.activeElement) && document.activeElement.id;
      fields.replaceChildren(...parts, remove);
      if (focused) document.getElementById(focused)?.focus();
    };
    node.append(legend, fields, reply);
    rows.push(row);
    show();
    list.append(node);
    return row;
  };
  const name = () =>
    rows.forEach((row, at) => {
      row.legend.textContent = `Reading ${at + 1}`;
      row.node.querySelector("button").setAttribute("aria-label", `Remove reading ${at + 1}`);
    });
  const blank = () => ({
    kind: rows.length ? rows[rows.length - 1].typed.kind : "resistance",
    red: "L",
    black: "N",
    setting: Object.fromEntries(model.get("switches").map((each) => [each.name, each.start])),
    shown: "",
    volts: "",
  });

  const another = makeButton("", "Another reading", () => {
    const row = rowOf(blank());
    name();
    row.node.querySelector("select").focus();
  });
  const accuracy = make("details", "hcw-accuracy");
  accuracy.append(make("summary", "", "How good your meters are (from their leaflets)"));
  for (const [meter, values] of Object.entries(meters)) {
    const line = make("fieldset", "hcq-choices hcw-group");
    line.append(make("legend", "", meter));
    const fields = line.appendChild(make("div", "hcw-row"));
    for (const [key, label] of [["percent", "± % of the reading"], ["digits", "± steps of the last digit"]]) {
      const input = textBox("", values[key]);
      input.classList.add("hcw-short");
      input.maxLength = 80;
      input.addEventListener("input", () => {
        values[key] = input.value;
        changed();
      });
      fields.append(labelled(`${id}-${meter.replace(" ", "-")}-${key}`, label, input));
    }
    accuracy.append(line);
  }
  const showReplies = () => {
    write(late, "");
    if (rows.length !== model.get("replies").length) return; // to an earlier state
    rows.forEach((row, at) => {
      const { sign, head, lines } = model.get("replies")[at];
      const said = [head, ...lines.map((line) => `- ${line}`)].join("\n");
      if (row.said === said) return; // a screen reader hears only what has changed
      row.said = said;
      write(row.reply, said);
      const mark = make("span", "hcw-sign", sign);
      mark.setAttribute("aria-hidden", "true");
      row.reply.firstChild.prepend(mark);
    });
  };

  const caution = make("p", "hcw-note", model.get("caution"));
  caution.setAttribute("role", "note");
  form.append(
    make("h4", "", `Your readings: ${model.get("title")}`),
    caution,
    list,
    another,
    accuracy,
    late,
  );
  (kept?.rows ?? inModel).forEach((typed) => rowOf(structuredClone(typed)));
  if (!rows.length) rowOf(blank());
  name();
  if (kept) send();
  else showReplies();
  const listeners = listening(model);
  listeners.on(["change:heard", "change:replies"], showReplies);
  el.append(form);

  return () => {
    if (typing) send(); // what was typed last
    wait.stop();
    listeners.stop();
  };
}

export default { render };
