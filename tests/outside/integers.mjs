// Reads JSON texts from standard input, one a line, and writes each again as JavaScript sees it.
// A number that JavaScript cannot hold comes out changed; the Rust test beside it compares.
import { createInterface } from "node:readline";

for await (const line of createInterface({ input: process.stdin })) {
  console.log(JSON.stringify(JSON.parse(line)));
}
