// What a fault bench says: tests, readings, what they rule out, and how it ended. No page here.

import {
  enough, everyFault, inside, nextTest, placeOf, planFor, stepOf, usually,
} from "./fault_bench_engine.js";

const PREFIXES = [["M", 1e6], ["k", 1e3], ["", 0]];

const counted = (count, what) => `${count} ${what}${count === 1 ? "" : "s"}`;
const nameOf = (data, fault) => data.faults[fault][1];
export const namesOf = (data, faults) => faults.map((fault) => nameOf(data, fault)).join("; ");

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

// A test that was taken: what it was, and what the meter showed.
export const takenWords = (data, { test, value }) => [
  testWords(data, test),
  shown(value, test[1]),
];

// What it ruled out, in numbers.
export function ruling({ out, left }) {
  const before = out.length + left.length;
  if (!out.length) return "rules out nothing new";
  return `rules out ${out.length} of ${before}, ${left.length} left`;
}

// The reply to a wrong name: the first of the tests `done` that contradicts it.
export function wrongWords(data, done, fault) {
  const against = done.findIndex(({ fits }) => !fits[fault]);
  const not = `Not ${nameOf(data, fault)}.`;
  if (against < 0) {
    const why = "No reading of yours rules it out, but with that put right it still has a fault.";
    return `${not}\n${why} ${leftBy(data, done).length} of the list still fit: test on.`;
  }
  const { test } = done[against];
  const value = usually(data, test, fault);
  const would = value === Infinity ? "open" : `about ${shown(value, test[1])}`;
  const told = takenWords(data, done[against]).join(" showed ");
  const why = `Test ${against + 1} speaks against it: ${told}`;
  return `${not}\n${why}, and with that fault it would be ${would}.`;
}

const leftBy = (data, done) => done.at(-1)?.left ?? everyFault(data);

// Which test to do next, after those `done`.
export function nextWords(data, done) {
  const left = leftBy(data, done);
  if (left.length === 1) return "Only one fault of the list fits your readings: name it.";
  const next = nextTest(data, left, done.some(({ test }) => inside(data, test)));
  if (!next) return `No test here tells the ${left.length} that are left apart: name one of them.`;
  const told = `Next test, ${placeOf(data, next.test)}: ${testWords(data, next.test)}.`;
  return `${told}\nIt splits the ${left.length} that are left into ${next.groups.length} groups.`;
}

// How it ended, line by line.
export function endWords(data, fault, ended, done, wrong) {
  const { steps, end } = planFor(data, fault);
  const told = [`${ended === "found" ? "Right: it is" : "It is"} ${nameOf(data, fault)}.`];
  const alike = end.filter((other) => other !== fault);
  if (alike.length) told.push(`No test here tells it from: ${namesOf(data, alike)}.`);
  const luck = leftBy(data, done).filter((other) => !end.includes(other)).length;
  if (ended === "found" && luck) {
    told.push(`Your readings left ${counted(luck, "other fault")} possible: partly luck.`);
  }
  if (wrong.length) told.push(`Named before: ${wrong.join("; ")}.`);
  told.push(`You took ${counted(done.length, "test")}; the plan takes ${steps.length}.`);
  const needed = enough(data, done);
  if (needed.length && needed.length < done.length) {
    const last = needed.pop();
    const those = needed.length ? `tests ${needed.join(", ")} and ${last}` : `test ${last}`;
    told.push(`In hindsight, ${those} alone would have told as much.`);
  }
  return told.join("\n");
}
