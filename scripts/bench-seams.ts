/**
 * Compares the best seams of 100 random twisted, lobed and leaning forms with a scan around each form,
 * in which every place is opened in full, with rays through the clay. What is held is told on the same
 * coarse cells for both. A scan is timed on these, and at every fifteenth degree on the mesh of an export,
 * which is what it would be without them. Times are the process's own.
 *
 *     npm run bench:seams                 all of them, every degree: takes about five minutes
 *     npm run bench:seams -- 1 20 4       forms 1 to 20, every fourth degree
 *     npm run bench:seams -- 14,50,81     these
 *
 * Where no more than 1 mm² is held nothing can be better by more: there the scan is only timed, every
 * fifteenth degree.
 */
import { SeamSearch } from "../src/dsl/mold/seam-search.ts";
import { SeamTrial } from "../src/dsl/mold/seam-trial.ts";
import { heldBy, heldOnMesh, randomForm, REACH, scan, seamsAt } from "../tests/unit/mold/seam-scan.ts";

const [which = "1", to = "100", step = "1"] = process.argv.slice(2);
const listed = which.split(",").map(Number);
const seeds =
  listed.length > 1 ? listed : Array.from({ length: Number(to) - listed[0] + 1 }, (_, i) => listed[0] + i);
const used = () => process.cpuUsage().user / 1000;

// The first searches of a process also pay for compiling them.
for (let seed = 1; seed <= 10; seed++) {
  const { form, cut } = randomForm(seed);
  new SeamSearch(form, { level: false, up: 1, reach: REACH }).best(cut);
}
let worse = 0;
const gains: number[] = [];
const onMesh: number[] = [];
for (const seed of seeds) {
  const { form, cut } = randomForm(seed);
  const search = () => new SeamSearch(form, { level: false, up: 1, reach: REACH }).best(cut);
  const found = search();
  // Of three runs the middle one: a collection of garbage is as long as an easy search.
  const runs = [0, 1, 2].map(() => {
    const start = used();
    search();
    return used() - start;
  });
  const searched = runs.sort((a, b) => a - b)[1];
  const trial = new SeamTrial(form);
  // Either has its own way of finding pulls; the scan is held against the better of the two.
  const own = Math.min(found.undercutMm2, heldBy(trial, trial.solid(), found.plans));
  const scanStart = used();
  const scanned = scan(form, cut, own > 1 ? Number(step) : 15);
  const scanMs = ((used() - scanStart) / scanned.count) * (360 / cut.parts);
  gains.push(scanMs / searched);
  const places = Array.from({ length: 24 / cut.parts }, (_, i) => seamsAt(form, cut, 15 * i));
  const meshStart = used();
  for (const plans of places) heldOnMesh(form, trial, plans);
  const meshMs = ((used() - meshStart) / places.length) * (360 / cut.parts);
  onMesh.push(meshMs / searched);
  const isWorse = own > scanned.area + 1;
  if (isWorse) worse++;
  console.log(
    `seed ${seed}: ${cut.parts} parts, ${cut.follow}: ${own.toFixed(1)} mm² held, the scan ${scanned.area.toFixed(1)} mm² at ${scanned.degrees}°;` +
      ` ${searched.toFixed(0)} ms against ${scanMs.toFixed(0)} ms at every degree and ${meshMs.toFixed(0)} ms on a mesh${isWorse ? "  WORSE" : ""}`,
  );
}
for (const list of [gains, onMesh]) list.sort((a, b) => a - b);
console.log(
  `${gains.length} forms, ${worse} worse by more than 1 mm²; faster by ${gains[0].toFixed(0)} at least, ${gains[gains.length >> 1].toFixed(0)} in the middle,` +
    ` on a mesh ${onMesh[0].toFixed(0)} and ${onMesh[onMesh.length >> 1].toFixed(0)}`,
);
