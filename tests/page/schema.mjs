// The committed JSON Schema against an independent validator (ajv) and an independent TOML reader: every file of the project that can be
// used must pass, and files with one wrong value each must not.
import Ajv from "ajv";
import { parse } from "smol-toml";
import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import path from "node:path";

const root = path.resolve(import.meta.dirname, "../..");
const schema = JSON.parse(readFileSync(path.join(root, "schema/groovewright.schema.json")));
const valid = new Ajv({ strict: true, strictTypes: false, allowUnionTypes: true, allErrors: true }).compile(schema);
const files = ["params", "tests/designs"].flatMap((folder) =>
  readdirSync(path.join(root, folder)).filter((f) => f.endsWith(".toml")).map((f) => path.join(root, folder, f)),
);
files.push(path.join(root, "src/cli/starter.toml"));
assert.ok(files.length > 15);
for (const file of files) {
  assert.ok(valid(parse(readFileSync(file, "utf8"))), file + ": " + JSON.stringify(valid.errors?.slice(0, 3)));
}

const demo = readFileSync(path.join(root, "params/harbour-15.toml"), "utf8");
const wrong = [
  ["an unknown key", (d) => (d.cabinet.widht = 3)],
  ["an unknown table", (d) => (d.cabnet = {})],
  ["a word that is none", (d) => (d.chassis.position = "cellar")],
  ["a size below 0", (d) => (d.cabinet.width = -474)],
  ["a number where a name belongs", (d) => (d.tube[0].id = 7)],
  ["an id with a space", (d) => (d.tube[0].id = "V 1")],
  ["a missing key", (d) => delete d.design.name],
  ["a share over 1", (d) => (d.tube[0].at = { across: 2 })],
  ["three kinds in a clearance", (d) => (d.clearance = [{ between: ["iron", "can", "wood"], air: 3 }])],
  ["text without a figure where a length belongs", (d) => (d.cabinet.width = "wide")],
];
for (const [what, spoil] of wrong) {
  const d = parse(demo);
  spoil(d);
  assert.equal(valid(d), false, what + " passes");
}
console.log(`schema: ${files.length} files pass, ${wrong.length} wrong ones do not`);
