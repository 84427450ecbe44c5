// What a fault bench says: tests, readings, what they rule out, and how it ended. No page here.

import {
  enough, inside, leftBy, newlyOut, nextTest, placeOf, planFor, stepOf, usually,
} from "./fault_bench_engine.js";

const PREFIXES = [["M", 1e6], ["k", 1e3], ["", 0]];

const counted = (count, what) => `${count} ${what}${count === 1 ? "" : "s"}`;
const nameOf = (data, fault) => data.faults[fault][1];

// As the meter's display has it.
export function shown(value, range) {
  if (value === Infinity) return "OL";
  const [prefix, size] = PREFIXES.find((each) => value >= 2 * each[1]);
  const factor = size || 1;
  const digits = Math.max(0, -Math.round(Math.log10(stepOf(value, range) / factor)));
  return `${(value / factor).toFixed(digits)} ${prefix}${range}`;
}

// A test, as `BenchTest` has it in Python.
export function testWords(data, [unhooked, range, setting, red, black]) {
  const { name } = data.loose[unhooked];
  const said = [
    range === "V" && "diode range, red lead first",
    [red, black].map((point) => data.points[point].name).join(" to "),
    name && `with ${name} unhooked`,
    data.settings[setting],
  ];
  return said.filter(Boolean).join(", ");
}

// What a test rules out, in numbers, and afterwards by name.
export function ruling(data, fits, test) {
  const before = leftBy(data, fits.slice(0, test)).length;
  const out = newlyOut(data, fits, test).length;
  return out ? `rules out ${out} of ${before}, ${before - out} left` : "rules out nothing new";
}

export function ruledOut(data, fits, test) {
  return newlyOut(data, fits, test).map((fault) => nameOf(data, fault)).join("; ");
}

// The reply to a wrong name: the first reading that contradicts it. `done` has each test and its
// reading in words.
export function wrongWords(data, taken, done, fits, fault) {
  const against = fits.findIndex((fit) => !fit[fault]);
  const not = `Not ${nameOf(data, fault)}.`;
  if (against < 0) {
    const left = leftBy(data, fits).length;
    const why = "No reading of yours rules it out, but with that put right it still has a fault.";
    return `${not}\n${why} ${left} of the list still fit: test on.`;
  }
  const value = usually(data, taken[against], fault);
  const would = value === Infinity ? "open" : `about ${shown(value, taken[against][1])}`;
  const [where, reading] = done[against];
  const told = `Test ${against + 1} speaks against it: ${where} showed ${reading}`;
  return `${not}\n${told}, and with that fault it would be ${would}.`;
}

// Which test to do next, after those `taken`.
export function nextWords(data, taken, fits) {
  const left = leftBy(data, fits);
  if (left.length === 1) return "Only one fault of the list fits your readings: name it.";
  const next = nextTest(data, left, taken.some((test) => inside(data, test)));
  if (!next) return `No test here tells the ${left.length} that are left apart: name one of them.`;
  const told = `Next test, ${placeOf(data, next.test)}: ${testWords(data, next.test)}.`;
  return `${told}\nIt splits the ${left.length} that are left into ${next.groups.length} groups.`;
}

// How it ended, line by line.
export function endWords(data, fault, ended, fits, wrong) {
  const { steps, end } = planFor(data, fault);
  const told = [`${ended === "found" ? "Right: it is" : "It is"} ${nameOf(data, fault)}.`];
  const alike = end.filter((other) => other !== fault).map((other) => nameOf(data, other));
  if (alike.length) told.push(`No test here tells it from: ${alike.join("; ")}.`);
  const luck = leftBy(data, fits).filter((other) => !end.includes(other)).length;
  if (ended === "found" && luck) {
    told.push(`Your readings left ${counted(luck, "other fault")} possible: partly luck.`);
  }
  if (wrong.length) told.push(`Named before: ${wrong.join("; ")}.`);
  told.push(`You took ${counted(fits.length, "test")}; the plan takes ${steps.length}.`);
  const needed = enough(data, fits).map((test) => test + 1);
  if (needed.length && needed.length < fits.length) {
    const last = needed.pop();
    const those = needed.length ? `tests ${needed.join(", ")} and ${last}` : `test ${last}`;
    told.push(`In hindsight, ${those} alone would have told as much.`);
  }
  return told.join("\n");
}
