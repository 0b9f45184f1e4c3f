// Prints `emoji<TAB>name or keyword|...` for every emoji: Unicode CLDR's English annotations, through npm
// cldr-annotations-full 48.2.0, an outside reference for the words of our pictures.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

const file = createRequire(import.meta.url).resolve("cldr-annotations-full/annotations/en/annotations.json");
const { annotations } = JSON.parse(readFileSync(file, "utf8")).annotations;
for (const [emoji, { tts = [], default: keywords = [] }] of Object.entries(annotations)) {
  console.log(`${emoji.replaceAll("\u{FE0F}", "")}\t${[...tts, ...keywords].join("|")}`);
}
