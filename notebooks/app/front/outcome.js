// What will be written, the writing of it, and what comes after.

/** The last part: look, write, go on to the debrief. */
function ending(form) {
  const result = h("div", { id: "result" });
  const look = h("button", { type: "button", className: "main", "data-at": "show",
    onclick: () => show(form, result) }, "Show what will be written");
  return part(
    "write",
    "Write it down",
    h("p", { className: "before" }, "Nothing is written before you have seen it."),
    look,
    result,
  );
}

/** An answer takes the place of the last one, and the keyboard goes there. */
function answer(result, ...children) {
  const head = h("div", { tabIndex: -1, className: "answer-head" }, ...children);
  result.replaceChildren(head);
  head.focus();
}

async function show(form, result) {
  form.say("Looking at the files…");
  const told = await form.ask("show", form.state());
  form.say("");
  if (told.refused) return answer(result, h("p", { className: "notice" }, told.refused));
  if (told.meanwhile) return meanwhile(form, result);
  if (told.ask_went) return askWent(form, result, told.ask_went);
  if (told.problems) {
    form.given = told.offered ?? form.given;
    const number = told.problems.length;
    const astray = showFaults(form.el, told.problems);
    result.replaceChildren(
      h("div", { className: "notice", role: "alert" },
        h("p", {}, number === 1 ? "One thing to put right:" : `${number} things to put right:`),
        h("ul", {}, ...told.problems.filter((each) => !astray.includes(each)).map(({ at, text }) =>
          h("li", {}, h("button", { type: "button", className: "link",
            onclick: () => fieldAt(form.el, at)?.focus() }, placed(form, at, text)))),
          ...astray.map(({ text }) => h("li", {}, text)))),
    );
    return;
  }
  const faults = told.faults.length
    ? h("div", { className: "notice" },
        h("p", {}, "It cannot be written like this:"),
        h("ul", {}, ...told.faults.map((text) => h("li", {}, text))))
    : null;
  const remarks = told.remarks.map((text) => h("p", { className: "hint" }, text));
  const paste = told.paste
    ? h("div", {}, h("p", {}, "The thermometer’s file is read once these lines stand at the end of ",
        h("code", {}, "tarebook.toml"), ":"), h("pre", { tabIndex: 0 }, told.paste))
    : null;
  if (!told.changes.length && !faults) {
    return answer(result, h("p", {}, "The files say all this already: there is nothing to write."),
      debriefLink(form, form.base.trip));
  }
  const write = h("button", { type: "button", className: "main", "data-at": "write",
    onclick: () => writeDown(form, result) }, "Write");
  const use = told.use && !faults ? h("p", { className: "use" }, told.use) : null;
  answer(result, faults, use, ...told.changes.map(fileChange), ...remarks, paste,
    faults ? null : h("p", {}, write));
  if (!faults) write.focus();
}

/** A fault with what it is about, for a list in which its field is not to be seen. */
function placed(form, at, text) {
  const { sheet, typed, offered } = form;
  const [section, which, ...cell] = at.split(".");
  if (section === "days") {
    const { label } = columnsOf(offered.units).find((column) => column.cell === cell.at(-1)) ?? {};
    return `${dayWords(which)}${label ? `, ${label.toLowerCase()}` : ""}: ${text}`;
  }
  const words = { took: "packed", home: "left over" }[section];
  if (!words) return text;
  const key = at.slice(section.length + 1);
  const brought = /^brought\.(\d+)$/.exec(key);
  const item = brought ? typed.brought[Number(brought[1])]?.item : null;
  const { name } = (item ? offered.things.find((t) => t.item === item) : sheet.rows[key]) ?? { name: key };
  return `${name}, ${words}: ${text}`;
}

/** Something is ticked, and nobody has said that the rest was used: that is for a person to say. */
function askWent(form, result, { ticked, others }) {
  const say = (went) => {
    if (went) form.typed.went = true;
    else form.typed.unsaid = true;
    form.changed();
    form.redraw("packed");
    return show(form, form.el.querySelector("#result"));
  };
  const yes = h("button", { type: "button", className: "main", "data-at": "went.yes",
    onclick: () => say(true) }, "Yes, I went through the list");
  answer(result,
    h("p", {}, `${many(ticked, "thing is", "things are")} ticked as not used. `,
      others === 1 ? "Was the other one used?" : `Were the other ${others} used?`),
    yes,
    h("button", { type: "button", className: "quiet", "data-at": "went.no",
      onclick: () => say(false) }, "I did not go through the list"));
  yes.focus();
}

/** Somebody else wrote: what is typed goes over what the files say now, to be looked at again. */
function meanwhile(form, result) {
  const again = async () => {
    const now = await form.ask("look", form.state());
    if (now.refused) return answer(result, h("p", { className: "notice" }, now.refused));
    form.rebase(now);
    await show(form, form.el.querySelector("#result"));
  };
  answer(result, h("p", { className: "notice" },
    "The files changed meanwhile, perhaps from another window. Nothing was written, and nothing ",
    "that you entered is lost."),
    h("button", { type: "button", className: "main", "data-at": "again", onclick: again },
      "Look again"));
}

function fileChange({ path, existed, added, changed, removed, lines }) {
  const counts = [
    added ? `${many(added, "row")}${existed ? " more" : ""}` : "",
    changed ? `${many(changed, "row")} changed` : "",
    removed ? `${many(removed, "row")} removed` : "",
  ].filter(Boolean);
  const what = `${existed ? "" : "a new file with "}${counts.join(", ") || "no row"}`;
  return h("details", { className: "change" },
    h("summary", {}, h("code", {}, named(path)), h("span", { className: "about" }, what)),
    h("ul", {}, ...lines.map((line) => h("li", {}, named(line)))));
}

async function writeDown(form, result) {
  await form.keep(); // else what is kept a moment later would lie there as a draft
  const told = await form.ask("write", form.state());
  if (told.refused) return answer(result, h("p", { className: "notice" }, told.refused));
  if (told.meanwhile) return meanwhile(form, result);
  form.written(told);
  form.el.querySelector("#write .before")?.remove();
  answer(
    result,
    h("p", { className: "done" }, `Written: ${many(told.written.length, "file")}.`,
      h("span", { className: "about" }, ` ${told.written.join(", ")}.`)),
    h("p", {}, "The debrief says what stayed packed, how the nights were and what to mend."),
    debriefLink(form, told.trip),
  );
  result.querySelector("a").focus();
}

/** One click makes the debrief and shows it. */
function debriefLink(form, trip) {
  return h("p", {}, h("a", { className: "main", "data-at": "debrief", target: "_blank",
    href: `/debrief/${encodeURIComponent(trip)}` }, "Make the debrief"));
}
