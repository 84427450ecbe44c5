// The points of a fault bench's drawing: press one, or go from one to the next with the arrow keys.

import { draw } from "./drawing.js";

const HIT = 13; // px, of the radius that takes a finger
const SAME_ROW = 12; // px

// What the strip with the plug's pins takes above the drawing, px.
export const STRIP = 48;

export const PROBES = [
  { name: "red", sign: "+" },
  { name: "black", sign: "−" },
];

const PINS = ["L", "N", "PE"];
const spoken = ({ name }) => (PINS.includes(name) ? `plug pin ${name}` : name);

function makePoint(point) {
  const mark = [
    draw("circle", { class: "hcb-red", r: 10 }),
    draw("rect", { class: "hcb-black", x: -10, y: -10, width: 20, height: 20, rx: 3 }),
    draw("text", { class: "hcb-mark", y: 5, "text-anchor": "middle" }),
  ];
  const place = `translate(${point.x} ${point.y})`;
  const label = point.strip ? [draw("text", { x: 15, y: 4 }, point.name)] : [];
  return draw(
    "g",
    { class: "hcb-point", role: "button", tabindex: -1, transform: place },
    draw("title", {}, spoken(point)),
    draw("circle", { class: "hcb-hit", r: HIT }),
    draw("circle", { class: "hcb-dot", r: 4.5 }),
    ...mark,
    ...label,
  );
}

// Draws the points on `svg`; `put(point, probe)` is called with a point's number, and with "red" or
// "black" where a key asked for one of them.
export function makePoints(svg, points, put) {
  const nodes = points.map(makePoint);
  const pins = points.filter(({ name }) => PINS.includes(name)); // a cord of two cores has no PE
  const width = Math.max(...pins.map(({ x }) => x)) + 28;
  svg.append(
    draw("rect", { class: "hcb-strip", x: 8, y: -40, width, height: 34, rx: 6 }),
    draw("text", { class: "hc-part-name", x: 18, y: -18 }, "Plug"),
    ...nodes,
  );
  // row by row, as they are read
  const order = points.map((_, i) => i).sort((one, other) => {
    const [a, b] = [points[one], points[other]];
    return Math.abs(a.y - b.y) > SAME_ROW ? a.y - b.y : a.x - b.x;
  });
  let reach = order;
  let cursor = order[0];

  function go(point) {
    nodes[cursor].setAttribute("tabindex", -1);
    cursor = point;
    nodes[cursor].setAttribute("tabindex", 0);
  }

  // The point that a key leads to.
  function next(point, key) {
    const place = reach.indexOf(point);
    if (key === "ArrowRight" || key === "ArrowDown") return reach[(place + 1) % reach.length];
    if (key === "ArrowLeft" || key === "ArrowUp") return reach.at(place - 1);
    if (key === "Home") return reach[0];
    return key === "End" ? reach.at(-1) : null;
  }

  nodes.forEach((node, point) => {
    node.addEventListener("click", () => {
      if (reach.includes(point)) go(point);
      put(point);
    });
    node.addEventListener("keydown", (event) => {
      if (event.ctrlKey || event.altKey || event.metaKey) return;
      const probe = { r: "red", b: "black" }[event.key.toLowerCase()];
      const to = next(point, event.key);
      if (event.key === "Enter" || event.key === " ") put(point);
      else if (probe) put(point, probe);
      else if (to !== null) {
        go(to);
        nodes[to].focus();
      } else return;
      event.preventDefault();
    });
  });
  go(cursor);

  // Shows where the probes are, and which points can be reached.
  function show(probes, allowed) {
    reach = order.filter((point) => allowed.includes(point));
    if (!reach.includes(cursor)) go(reach[0]);
    nodes.forEach((node, point) => {
      const probe = PROBES.find(({ name }) => probes[name] === point);
      const state = probe ? [`${probe.name} probe here`] : [];
      node.dataset.probe = probe?.name ?? "";
      node.querySelector(".hcb-mark").textContent = probe?.sign ?? "";
      node.setAttribute("aria-label", [spoken(points[point]), ...state].join(", "));
      node.setAttribute("aria-disabled", String(!allowed.includes(point)));
    });
  }
  return { show };
}
