// Prints `word<TAB>pronunciation|pronunciation` from npm cmu-pronouncing-dictionary (CMUdict) for every
// word on standard input, one a line: an outside reference for the sounds that decks rely on.
import { readFileSync } from "node:fs";
import { dictionary } from "cmu-pronouncing-dictionary";

for (const word of readFileSync(0, "utf8").split("\n").filter(Boolean)) {
  const ways = ["", "(1)", "(2)", "(3)"].map((number) => dictionary[word + number]).filter(Boolean);
  console.log(`${word}\t${[...new Set(ways)].join("|")}`);
}
