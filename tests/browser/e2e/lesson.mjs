/**
 * What a teacher does with her pages, for the tests: makes a lesson, chooses the game, starts it.
 * It taps what she taps.
 * @import {Device} from "./devices.mjs"
 */

/**
 * @param {Device} teacher signed in
 * @param {{ name: string, list: string, ages?: string }} lesson
 */
export async function makeLesson({ page }, { name, list, ages = "7 to 8" }) {
  await page.locator("#new-name").fill(name);
  await page.locator("#new-lesson").getByLabel(ages).check();
  await page.locator("#new-file").setInputFiles({ name: "class.csv", mimeType: "text/csv", buffer: Buffer.from(list) });
  await page.getByRole("button", { name: "Make the lesson" }).click();
  await page.getByRole("heading", { name, level: 1 }).waitFor();
}

/**
 * Chooses how the next game is played. Few groups make short rounds.
 * @param {Device} teacher
 * @param {{ house: "Everybody stays in" | "Collects a letter" | "Watches" | "Nobody: a calm game", word?: string, rounds?: number, shield?: boolean, groups?: number }} plan
 */
export async function plan({ page }, { house, word, rounds, shield, groups }) {
  await page.getByRole("button", { name: "Change the game" }).click();
  await page.getByRole("radio", { name: new RegExp(`^${house}`) }).check();
  if (word !== undefined) await page.locator("#plan-word").fill(word);
  if (rounds !== undefined) await page.locator("#plan-rounds").fill(String(rounds));
  if (shield !== undefined) await page.locator("#plan-shield").setChecked(shield);
  if (groups !== undefined) await page.locator("#plan-groups").fill(String(groups));
  // The plan goes over HTTP and a start over the socket, so that the answer is waited for.
  const [answer] = await Promise.all([
    page.waitForResponse((response) => /\/lessons\/[0-9a-f]+\/plan$/.test(response.url())),
    page.getByRole("button", { name: "Use from the next game" }).click(),
  ]);
  if (!answer.ok()) throw new Error(`the plan was refused: ${await answer.text()}`);
}

/** The names of the four pictures that children tap. @param {Device} teacher @returns {Promise<string[]>} */
export async function rowOf({ page }) {
  const row = page.locator("#entrance .row img");
  await row.nth(3).waitFor();
  return row.evaluateAll((all) => all.map((one) => one.getAttribute("alt") ?? ""));
}

/** The address in the QR code. @param {Device} teacher @returns {Promise<string>} */
export const linkOf = async ({ page }) => new URL((await page.locator("#entrance .address a").getAttribute("href")) ?? "").pathname;

/** A child taps the row of pictures. @param {Device} child @param {readonly string[]} row */
export async function tapRow(child, row) {
  for (const name of row) await child.tap(child.page.locator("#join-grid").getByRole("button", { name, exact: true }));
}

/** A child taps the own name, and sits. @param {Device} child @param {string} name */
export async function sit(child, name) {
  await child.tap(child.page.locator("#join-tiles").getByRole("button", { name }));
  await child.page.locator("#join").waitFor({ state: "hidden" });
}
