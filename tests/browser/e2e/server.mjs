/**
 * The real program for the tests: started on a free port with a data directory of its own, killed
 * without warning, started again in the same place. It knows nothing of pages.
 */
import { spawn } from "node:child_process";
import { once } from "node:events";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { until } from "../chromium.mjs";

/** The program, from the environment or as `cargo build` leaves it. */
const BIN = resolve(process.env["HANDROUND_BIN"] ?? fileURLToPath(new URL("../../../target/debug/handround", import.meta.url)));
/** Lets these tests in as the teacher; at least 16 characters. */
export const TEACHER_KEY = "key-of-the-browser-tests";

export class Server {
  /** @type {import("node:child_process").ChildProcess | null} */ #process = null;
  /** What the program wrote, for a test that fails. */ log = "";

  /** The one that the system gave it; the same after a restart. */ port = 0;

  /** @param {"demo" | "serve"} command @param {string} data */
  constructor(command, data) {
    this.command = command;
    this.data = data;
  }

  /**
   * Starts one on a free port with an empty data directory, but for accounts.
   * @param {"demo" | "serve"} command @param {Record<string, string>} [accounts] names and passwords
   */
  static async start(command, accounts = {}) {
    const server = new Server(command, await mkdtemp(join(tmpdir(), "handround-e2e-")));
    for (const [name, password] of Object.entries(accounts)) await server.enrol(name, password);
    await server.run();
    return server;
  }

  /** Makes an account, as whoever looks after a school's server does. @param {string} name @param {string} password */
  async enrol(name, password) {
    const child = spawn(BIN, ["accounts", "--data", this.data, "add", name], { stdio: ["pipe", "ignore", "inherit"] });
    child.stdin.end(`${password}\n`);
    const [code] = await once(child, "exit");
    if (code !== 0) throw new Error(`no account for ${name}`);
  }

  get url() { return `http://127.0.0.1:${this.port}`; }

  /** Starts it, also again after `kill`, and waits until it answers. */
  async run() {
    const child = spawn(BIN, [this.command, "--listen", `127.0.0.1:${this.port}`, "--data", this.data, "--teacher-key", TEACHER_KEY], { stdio: ["ignore", "pipe", "pipe"] });
    this.#process = child;
    const note = (/** @type {Buffer} */ text) => { this.log += text; };
    child.stdout.on("data", note);
    child.stderr.on("data", note);
    // Where it listens it says itself, once its lessons are back.
    const begun = this.log.length;
    const said = await until("the program's address", () => {
      if (child.exitCode !== null) throw new Error(`the program ended:\n${this.log}`);
      return /Teachers?:\s+http:\/\/127\.0\.0\.1:(\d+)\//.exec(this.log.slice(begun));
    });
    this.port = Number(said[1]);
    await until("an answer", async () => (await fetch(`${this.url}/health`).catch(() => null))?.ok);
  }

  /** The children's address that the program printed. */
  get children() {
    const found = /Children:\s+(\S+)/.exec(this.log)?.[1];
    if (!found) throw new Error(`no address for children:\n${this.log}`);
    return found;
  }

  /** Ends it at once, as a power cut would: SIGKILL cannot be caught. */
  async kill() {
    const child = this.#process;
    if (!child || child.exitCode !== null || child.signalCode !== null) return;
    child.kill("SIGKILL");
    await once(child, "exit");
  }

  /** Ends it and throws its data away. */
  async stop() {
    await this.kill();
    await rm(this.data, { recursive: true, force: true });
  }
}
