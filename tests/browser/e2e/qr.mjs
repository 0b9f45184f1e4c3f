/**
 * What a camera would read off a page: the pixels of a screenshot, decoded by jsqr, which is none of ours.
 */
import jsqr from "jsqr";

/** @typedef {(data: Uint8ClampedArray, width: number, height: number) => { data: string } | null} Decoder */
/** A CommonJS module as Node hands it over, whatever its declarations say. */
const decode = /** @type {Decoder} */ (/** @type {unknown} */ (jsqr));

/**
 * The text of the QR code that this element shows; `null` if none can be read.
 * @param {import("playwright-core").Locator} shown
 */
export async function readCode(shown) {
  const png = (await shown.screenshot()).toString("base64");
  // A page of its own turns the picture into pixels, so that nothing is laid into the one that is looked at.
  const browser = shown.page().context().browser();
  if (!browser) throw new Error("the page has no browser");
  const page = await browser.newPage();
  try {
    const { pixels, width, height } = await page.evaluate(async (base64) => {
      const image = new Image();
      image.src = `data:image/png;base64,${base64}`;
      await image.decode();
      const canvas = new OffscreenCanvas(image.width, image.height);
      const context = canvas.getContext("2d");
      if (!context) throw new Error("nothing to draw on");
      context.drawImage(image, 0, 0);
      return { pixels: [...context.getImageData(0, 0, image.width, image.height).data], width: image.width, height: image.height };
    }, png);
    return decode(Uint8ClampedArray.from(pixels), width, height)?.data ?? null;
  } finally {
    await page.close();
  }
}
