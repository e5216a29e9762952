// What failed, what was missed, a note.

/** What failed: a block a failure. */
function failing(form) {
  const { typed, offered } = form;
  const days = daysBetween(typed.start_on, typed.end_on);
  const blocks = typed.failures.map((each, place) =>
    h(
      "fieldset",
      { className: "block" },
      h("legend", { className: "away" }, `Failure ${place + 1}`),
      picker({
        at: `failures.${place}.item`,
        label: "What failed",
        options: () => offered.things.map((t) => ({ value: t.item, name: t.name, about: t.about })),
        choose: ({ name }) => put(form, each, "item", name),
        changed: (text) => put(form, each, "item", text),
        free: true,
        value: each.item,
      }).field,
      labelled(`failures.${place}.severity`, "How bad",
        select(offered.severities, each.severity, "choose one", (v) => put(form, each, "severity", v))),
      textField(form, each, "what", `failures.${place}.what`, "What happened"),
      labelled(`failures.${place}.day`, "On",
        select(days.map((day) => ({ value: day, label: dayWords(day) })), each.day, "no answer",
          (v) => put(form, each, "day", v))),
      away(form, "failed", typed.failures, place, "failure"),
    ),
  );
  return part(
    "failed",
    "What failed",
    typed.failures.length ? null : h("p", {}, "Nothing yet."),
    ...blocks,
    h("button", { type: "button", className: "quiet", "data-at": "failures.more",
      onclick: () => {
        typed.failures.push({ item: "", severity: "", what: "", day: "" });
        form.redraw("failed");
        form.focusOn(`failures.${typed.failures.length - 1}.item`);
      } }, typed.failures.length ? "Another failure" : "Something failed"),
  );
}

/** What was missed: a thing that stayed at home, or anything else. */
function missing(form) {
  const { typed, offered } = form;
  const blocks = typed.missed.map((each, place) =>
    h(
      "fieldset",
      { className: "block" },
      h("legend", { className: "away" }, `Missed ${place + 1}`),
      picker({
        at: `missed.${place}.what`,
        label: "What you missed",
        hint: "A thing you left at home, or anything else.",
        options: () => offered.things.map((t) => ({ value: t.item, name: t.name, about: t.about })),
        choose: ({ name }) => put(form, each, "what", name),
        changed: (text) => put(form, each, "what", text),
        free: true,
        value: each.what,
      }).field,
      labelled(`missed.${place}.how_much`, "How much",
        select(offered.how_much, each.how_much, "no answer", (v) => put(form, each, "how_much", v))),
      away(form, "missed", typed.missed, place, "wish"),
    ),
  );
  return part(
    "missed",
    "What you missed",
    typed.missed.length ? null : h("p", {}, "Nothing yet."),
    ...blocks,
    h("button", { type: "button", className: "quiet", "data-at": "missed.more",
      onclick: () => {
        typed.missed.push({ what: "", how_much: "" });
        form.redraw("missed");
        form.focusOn(`missed.${typed.missed.length - 1}.what`);
      } }, typed.missed.length ? "Something else, too" : "I missed something"),
  );
}

/** A note on the trip. */
function noting(form) {
  const area = h("textarea", {
    rows: 3,
    value: form.typed.note,
    oninput: (event) => put(form, form.typed, "note", event.target.value),
  });
  return part("note", "A note", labelled("note", "Anything worth remembering", area));
}

function put(form, holder, name, value) {
  holder[name] = value;
  form.changed();
}

function textField(form, holder, name, at, label) {
  const input = h("input", {
    type: "text",
    value: holder[name],
    oninput: (event) => {
      put(form, holder, name, event.target.value);
      clearFault(event.target);
    },
  });
  return labelled(at, label, input);
}

function away(form, section, list, place, noun) {
  return h("button", { type: "button", className: "quiet", "aria-label": `Remove ${noun} ${place + 1}`,
    onclick: () => {
      list.splice(place, 1);
      form.changed();
      form.redraw(section);
      form.focusOn(`${section === "failed" ? "failures" : "missed"}.more`);
    } }, "Remove");
}
