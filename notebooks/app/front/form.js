// The form: what it holds, what is kept of it, and its parts in their order.

const PARTS = { choose: chosen, packed: packing, home: foodHome, days: daysTable, failed: failing,
  missed: missing, note: noting, write: ending };
const KEEP_AFTER = 300;
const BEAT = 2000;
const DEAF_AFTER = 5000;

class Form {
  constructor(model, el) {
    this.el = el;
    this.model = model;
    this.ask = channel(model);
    this.afresh = this.afresh.bind(this);
    this.choose = this.choose.bind(this);
    this.body = h("div", { className: "body" });
    this.status = h("p", { className: "status", role: "status" });
    this.kept = h("span", { className: "kept" });
    this.silent = h("div", { role: "alert" });
    this.listening();
    el.classList.add("evening");
    el.replaceChildren(
      h("header", {}, h("h1", {}, "After a trip"),
        h("p", { className: "subtitle" }, "Five minutes on the evening it ends. What you leave blank stays unsaid.")),
      this.body,
      this.silent,
      h("footer", {}, this.kept, h("button", { type: "button", className: "quiet", "data-at": "close",
        onclick: () => this.close() }, "Close")),
      this.status,
    );
    this.dropping();
    el.addEventListener("focusin", () => requestAnimationFrame(() => this.uncover()));
    addEventListener("pagehide", () => this.keep());
    document.addEventListener("visibilitychange", () => document.hidden && this.keep());
    const first = model.get("first");
    if (first) this.open(first);
    else this.choose();
  }

  get offered() {
    return this.given ?? this.model.get("offered");
  }

  /** What Python needs to know of the form to answer. */
  state() {
    return { base: this.base, typed: this.typed };
  }

  /** Whether the program answers is asked every few seconds, and said plainly where it does not. */
  listening() {
    let asked = 0;
    const beat = () => {
      if (asked) {
        if (Date.now() - asked > DEAF_AFTER) this.deaf(true);
        return;
      }
      asked = Date.now();
      this.ask("beat").then(() => {
        asked = 0;
        this.deaf(false);
      });
    };
    this.beating = setInterval(beat, BEAT);
    addEventListener("offline", beat);
  }

  deaf(is) {
    if (is === Boolean(this.silent.firstChild)) return;
    if (is) this.kept.textContent = "";
    this.silent.replaceChildren(...(is ? [h("p", { className: "notice deaf" },
      "The program behind this page does not answer. What you type now is not kept. Leave this ",
      "page open, run tarebook log again, and copy over what is missing there.")] : []));
  }

  /** Say something to eyes and ears, for a moment. */
  say(text) {
    this.status.textContent = text;
    this.uncover();
    clearTimeout(this.silence);
    this.silence = setTimeout(() => (this.status.textContent = ""), 3500);
  }

  /** What has the keyboard is not hidden under what is said at the bottom of the window. */
  uncover() {
    const active = document.activeElement;
    if (!active || active === document.body) return;
    const { bottom } = active.getBoundingClientRect();
    for (const said of [this.status, this.silent.firstChild]) {
      if (!said?.textContent) continue;
      const { top } = said.getBoundingClientRect();
      if (bottom > top - 8 && active.getBoundingClientRect().top < innerHeight) {
        scrollBy(0, bottom - top + 16);
      }
    }
  }

  async choose() {
    if (this.base) {
      await this.keep();
      this.given = (await this.ask("offer")).offered ?? this.given;
      this.base = null;
    }
    this.kept.textContent = "";
    this.body.replaceChildren(choosing(this));
    if (this.given) this.body.querySelector("summary").focus();
  }

  async open(trip) {
    this.say("Opening the trip…");
    const told = await this.ask("open", { trip });
    this.say("");
    if (told.refused) {
      await this.choose();
      this.say(told.refused);
    } else this.opened(told);
  }

  opens({ base, sheet, typed, not_shown: notShown = [], taken_up: takenUp }) {
    typed.filled ??= {};
    typed.read ??= [];
    typed.opened ??= {};
    typed.offers ??= [];
    typed.pending ??= {};
    Object.assign(this, { base, sheet, typed, notShown, takenUp: Boolean(takenUp) });
  }

  opened(told) {
    this.opens(told);
    this.body.replaceChildren(...Object.keys(PARTS).map((name) => this.drawn(name)));
    this.body.querySelector("#packed summary").focus();
    scrollTo(0, 0);
  }

  drawn(name) {
    return name === "choose" ? chosen(this, this.takenUp) : PARTS[name](this);
  }

  /** Draw parts again, folded or not as they were. */
  redraw(...names) {
    for (const name of names) {
      const old = this.body.querySelector(`#${name}`);
      const fresh = this.drawn(name);
      fresh.open = old.open;
      old.replaceWith(fresh);
    }
  }

  focusOn(at) {
    fieldAt(this.el, at)?.focus();
  }

  /** The files as they are now stand under what is typed. */
  rebase(told) {
    this.opens(told);
    this.redraw(...Object.keys(PARTS));
    this.changed();
  }

  changed() {
    this.dirty = true;
    this.kept.textContent = "Not kept yet…";
    this.body.querySelector("#result")?.replaceChildren();
    clearTimeout(this.later);
    this.later = setTimeout(() => this.keep(), KEEP_AFTER);
  }

  async keep() {
    clearTimeout(this.later);
    if (!this.dirty || !this.base) return;
    this.dirty = false;
    const told = await this.ask("keep", this.state());
    const at = new Date().toTimeString().slice(0, 5);
    this.kept.textContent = told.refused ?? `Kept as a draft at ${at}.`;
  }

  /** What was typed stands in the files now: the form goes on from there. */
  written(told) {
    this.kept.textContent = "";
    this.opens(told);
    this.redraw(...Object.keys(PARTS).filter((name) => name !== "write"));
  }

  async afresh() {
    clearTimeout(this.later);
    this.dirty = false;
    const told = await this.ask("afresh", { trip: this.base.trip });
    if (told.gone) this.choose();
    else if (told.refused) this.say(told.refused);
    else this.opened(told);
  }

  /** Files may be dropped anywhere on the page. */
  dropping() {
    const over = (on) => this.el.classList.toggle("over", on);
    addEventListener("dragover", (event) => {
      event.preventDefault();
      over(Boolean(this.base));
    });
    addEventListener("dragleave", (event) => event.relatedTarget || over(false));
    addEventListener("drop", (event) => {
      event.preventDefault();
      over(false);
      const files = [...(event.dataTransfer?.files ?? [])];
      if (this.base && files.length) takeFiles(this, files);
    });
  }

  async close() {
    await this.keep();
    const told = await fetch("/close", { method: "POST", headers: { "X-Tarebook": "close" } });
    if (told.ok) clearInterval(this.beating);
    else return this.say("The program did not close. Press Ctrl-C where it runs.");
    this.el.replaceChildren(h("h1", { tabIndex: -1 }, "Closed"),
      h("p", {}, "What you entered is kept. You can close this window; tarebook log takes it up again."));
    this.el.querySelector("h1").focus();
  }
}

export default {
  render({ model, el }) {
    new Form(model, el);
  },
};
