/**
 * One gentle sound, made here so that nothing has to be loaded. It knows nothing of when to sound.
 */

/** Loudness of full scale, held low since a class sits side by side. */
const LOUDNESS = 0.12;

/** @type {AudioContext | null} */
let context = null;

/** Browsers let a page sound only after a touch; call this from one. */
export function readySound() {
  try {
    context ??= new AudioContext();
    if (context.state === "suspended") void context.resume();
  } catch { /* A device without sound plays without. */ }
}

/** A soft wooden note of a quarter second. */
export function softSound() {
  if (context?.state !== "running") return;
  const now = context.currentTime;
  const tone = context.createOscillator();
  const level = context.createGain();
  tone.type = "sine";
  tone.frequency.value = 523;
  level.gain.setValueAtTime(0, now);
  level.gain.linearRampToValueAtTime(LOUDNESS, now + 0.01);
  level.gain.exponentialRampToValueAtTime(0.001, now + 0.25);
  tone.connect(level).connect(context.destination);
  tone.start(now);
  tone.stop(now + 0.3);
}
