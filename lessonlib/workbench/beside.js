// Draws the form for a family of one's own: its members in order, each with a label; and below it the
// picture of the family. Every change goes to Python, which works out the picture anew.

import { renderFamily } from "../families/side_by_side.js";
import { follow, patience, replyRegion, write, writeNoAnswer } from "../page/exchange.js";
import {
  keepKeys, labelled, linkTo, make, makeButton, makeCutOff, makeForm, makeSelect, setOptions, textBox,
  withAttributes,
} from "../page/kit.js";
import { ask } from "./typed.js";

const LONGEST = 40; // of a label, as members.py has it

function render({ model, el }) {
  let rows = structuredClone(model.get("rows"));
  const reply = replyRegion();
  const wait = patience(model, () => writeNoAnswer(reply));

  const act = (action) =>
    ask(model, wait, { rows: structuredClone(rows), title: title.value, action });
  const show = () => act({ do: "show" });

  // The members.
  const list = make("ol", "hcf-members");
  function move(place, by) {
    const [row] = rows.splice(place, 1);
    rows.splice(place + by, 0, row);
    drawRows();
    // the button goes along with its row, or the other one where it cannot go further
    const buttons = list.children[place + by].querySelectorAll("button");
    const [same, other] = by < 0 ? [0, 1] : [1, 0];
    (buttons[same].getAttribute("aria-disabled") === "true" ? buttons[other] : buttons[same]).focus();
    show();
  }
  function remove(place) {
    rows.splice(place, 1);
    drawRows();
    (list.children[Math.min(place, rows.length - 1)]?.querySelector("input") ?? names).focus();
    show();
  }
  function drawRows() {
    const made = rows.map((row, place) => {
      const label = Object.assign(textBox(row.label), { maxLength: LONGEST });
      label.setAttribute("aria-label", `Label of number ${place + 1}`);
      label.addEventListener("change", () => {
        row.label = label.value;
        show();
      });
      const button = (text, what, can, press) =>
        withAttributes(makeButton(text, () => can && press()), {
          "aria-label": `${what}: ${row.label}`, "aria-disabled": !can,
        });
      return make(
        "li",
        "hck-row",
        make("span", "hcf-number", `${place + 1}`),
        label,
        make("span", "hcf-file", row.name.split("/").pop() || "not saved"),
        button("▲", "Move up", place > 0, () => move(place, -1)),
        button("▼", "Move down", place < rows.length - 1, () => move(place, 1)),
        button("Leave out", "Leave out", rows.length > 1, () => remove(place)),
      );
    });
    list.replaceChildren(...made);
  }

  const pairs = (names) => names.map((name) => [name, name]);
  const bar = (label, field, press, word) => {
    const made = makeForm("hck-row hcf-bar", press);
    made.append(labelled(label, field), ...(word ? [makeButton(word)] : []));
    return made;
  };
  const title = textBox(model.get("title"));
  title.addEventListener("change", show);
  const names = makeSelect([]);
  const lists = makeSelect([]);
  const papers = makeSelect(pairs(model.get("paper_names")));
  const saveAs = textBox(model.get("save_as"));
  const add = () => {
    rows.push({ label: names.value, name: names.value });
    drawRows();
    show();
  };
  const open = () => act({ do: "open", name: lists.value });
  const save = () => act({ do: "save", name: saveAs.value });
  const print = () => act({ do: "write", name: saveAs.value, paper: papers.value });
  const links = make("p", "hcf-links");
  const form = make(
    "div",
    "hck hcp hcf-form",
    makeCutOff(),
    make(
      "div",
      "hck-row hcf-bars",
      bar("Title", title, show),
      bar("Open a list", lists, open, "Open"),
    ),
    list,
    make(
      "div",
      "hck-row hcf-bars",
      bar("Add one", names, add, "Add"),
      bar("Save the list as", saveAs, save, "Save"),
      bar("Paper", papers, print, "Write it as PDF and as a web page"),
    ),
    reply,
    links,
  );
  keepKeys(form);

  // The family.
  const picture = make("div");
  let close = null;
  const showPicture = () => {
    close?.();
    picture.replaceChildren();
    close = renderFamily({ model, el: picture });
  };
  const showNames = () => {
    setOptions(names, pairs(model.get("offered")));
    setOptions(lists, pairs(model.get("lists")));
  };
  const showHeard = () => {
    showSaid();
    if (model.get("action").do !== "open") return;
    rows = structuredClone(model.get("rows"));
    drawRows();
    title.value = model.get("title");
    saveAs.value = model.get("save_as");
  };
  const showSaid = () => write(reply, model.get("said"));
  const showPapers = () =>
    links.replaceChildren(...model.get("papers").flatMap((paper) => [linkTo(paper), " "]));
  drawRows();
  showNames();
  showSaid();
  const listeners = {
    heard: showHeard, said: showSaid, papers: showPapers, table: showPicture,
    "offered lists": showNames,
  };
  const unfollow = follow(model, listeners, el);
  el.append(form, picture);
  showPicture();
  return () => {
    wait.stop();
    unfollow();
    close?.();
  };
}

export default { render };
