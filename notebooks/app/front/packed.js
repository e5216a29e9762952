// What stayed packed, what was not along after all, what came home of the food.

/** The rows that came along: those of the list that did not stay at home. */
const along = (form) =>
  Object.values(form.sheet.rows).filter((row) => !form.typed.left.includes(row.key));

/** What stayed packed. */
function packing(form) {
  const { typed, sheet } = form;
  const boxes = new Map();
  const went = tick(
    ["I went through the list: what is not ticked was used."],
    typed.went,
    (on) => {
      typed.went = on;
      delete typed.unsaid;
      tell();
      form.changed();
    },
    "went",
  );
  const unsaid = h("p", { className: "hint", id: "unsaid" },
    "You have not said that you went through the list, so nothing is written about use.");
  const tell = () => (unsaid.hidden = typed.went || !Object.keys(typed.packed).length);
  tell();
  const set = (key, on) => {
    if (on) typed.packed[key] = true;
    else delete typed.packed[key];
    delete typed.unsaid;
    allHome(form, key, on);
    tell();
    form.changed();
  };
  const groups = sheet.groups
    .map((group) => packedGroup(form, group, set, boxes))
    .filter(Boolean);
  const find = picker({
    at: "find",
    label: "Tick by name",
    hint: "Type the beginning of a name, then Enter.",
    ...pending(form, "find"),
    options: () =>
      along(form).map((row) => ({
        value: row.key,
        name: row.name,
        about: typed.packed[row.key] ? "ticked" : row.group,
      })),
    choose: ({ value, name }) => {
      const box = boxes.get(value);
      const on = !typed.packed[value];
      set(value, on);
      if (box) box.checked = on;
      form.say(on ? `${name} stayed packed.` : `${name} was used.`);
    },
  });
  const rows = along(form);
  return part(
    "packed",
    "What stayed packed",
    sheet.from ? h("p", { className: "notice" }, named(sheet.from),
      " Take out below what stayed at home.") : null,
    h("p", {}, "Tick only what you did not use.", Object.keys(typed.packed).length
      ? " Emergency things that were never used are ticked already. Untick what you used." : ""),
    rows.length ? find.field : h("p", { className: "notice" }, "This trip has no list yet. ",
      "Add what you brought along below."),
    rows.length
      ? h("button", { type: "button", className: "past", "data-at": "past",
          onclick: () => form.focusOn("went") }, "On past the list")
      : null,
    h("div", { className: "groups" }, ...groups),
    rows.length ? h("div", { className: "went" }, went, unsaid) : null,
    besides(form),
  );
}

function packedGroup(form, group, set, boxes) {
  const { typed, sheet } = form;
  const rows = group.rows
    .map((key) => sheet.rows[key])
    .filter((row) => !typed.left.includes(row.key));
  if (!rows.length) return null;
  const line = (row) => {
    const about = row.about ? h("span", { className: "about" }, row.about) : null;
    const made = tick([named(row.name), about], Boolean(typed.packed[row.key]),
      (on) => set(row.key, on), `packed.${row.key}`);
    boxes.set(row.key, made.querySelector("input"));
    return made;
  };
  if (!group.sealed) {
    return h("fieldset", {}, h("legend", {}, named(group.name)), ...rows.map(line));
  }
  const inside = h("div", { className: "opened" }, ...rows.map(line));
  const sealed = !typed.opened[group.name] && rows.every((row) => typed.packed[row.key]);
  inside.hidden = sealed;
  const whole = tick(["Unopened"], sealed, (on) => {
    inside.hidden = on;
    if (on) delete typed.opened[group.name];
    else typed.opened[group.name] = true;
    for (const row of rows) {
      set(row.key, true);
      boxes.get(row.key).checked = true;
    }
    if (!on) form.say("Untick what you used of it.");
  }, `sealed.${group.name}`);
  return h("fieldset", {}, h("legend", {}, named(group.name)), whole, inside);
}

/** What is typed where a name is to be chosen is kept until it is chosen. */
const pending = (form, at) => ({
  value: form.typed.pending[at] ?? "",
  changed: (text) => {
    if (text.trim()) form.typed.pending[at] = text;
    else delete form.typed.pending[at];
    form.changed();
  },
});

/** What was not along after all, and what was along besides the list. */
function besides(form) {
  const { typed, sheet, offered } = form;
  const known = new Set(Object.values(sheet.rows).map((row) => row.item));
  const again = () => {
    form.changed();
    form.redraw("packed", "home");
  };
  const left = picker({
    at: "left",
    label: "Stayed at home after all",
    ...pending(form, "left"),
    options: () =>
      along(form).map((row) => ({ value: row.key, name: row.name, about: row.group })),
    choose: ({ value, name }) => {
      typed.left.push(value);
      again();
      form.focusOn("left");
      form.say(`${name} stayed at home.`);
    },
  });
  const brought = picker({
    at: "brought",
    label: "Brought along besides",
    ...pending(form, "brought"),
    options: () =>
      form.offered.things
        .filter((t) => !known.has(t.item) && !typed.brought.some((b) => b.item === t.item))
        .map((t) => ({ value: t.item, name: t.name, about: t.about })),
    choose: ({ value, name }) => {
      typed.brought.push({ item: value, packed: false, took: "", home: "" });
      again();
      form.focusOn("brought");
      form.say(`${name} was along.`);
    },
  });
  const names = Object.fromEntries(offered.things.map((t) => [t.item, t.name]));
  const undo = (words, onclick) =>
    h("button", { type: "button", className: "quiet", onclick, "aria-label": words }, "Undo");
  return h(
    "div",
    { className: "besides" },
    h(
      "div",
      {},
      left.field,
      h("ul", {}, ...typed.left.map((key) => {
        const { name } = sheet.rows[key] ?? { name: key };
        return h("li", {}, named(name), undo(`${name} was along`, () => {
          typed.left = typed.left.filter((each) => each !== key);
          again();
          form.focusOn("left");
        }));
      })),
    ),
    h(
      "div",
      {},
      brought.field,
      h("ul", {}, ...typed.brought.map((each, place) => {
        const name = names[each.item] ?? each.item;
        return h("li", {},
          tick([named(name), " stayed packed"], each.packed, (on) => {
            each.packed = on;
            form.changed();
          }, `brought.${place}`),
          undo(`${name} was not along`, () => {
            typed.brought.splice(place, 1);
            again();
            form.focusOn("brought");
          }));
      })),
    ),
  );
}

/** Food that stayed packed came home whole, unless something else is said. */
function allHome(form, key, packed) {
  const { sheet, typed } = form;
  const took = (typed.took[key] ?? "").trim();
  if (!sheet.rows[key].consumable || !took) return;
  const now = typed.home[key] ?? "";
  if (packed && !now) typed.home[key] = took;
  else if (!packed && now === took) delete typed.home[key];
  else return;
  const field = fieldAt(form.el, `home.${key}`);
  if (field) field.value = typed.home[key] ?? "";
}

/** What was packed of what is eaten or burnt, and what was left over of it. */
function foodHome(form) {
  const { typed, offered } = form;
  const unit = offered.units.mass;
  const cell = (at, row, words, value, put, hint) => {
    const input = h("input", {
      type: "text",
      inputmode: "decimal",
      autocomplete: "off",
      value,
      "aria-label": `${row.name}, ${words}, ${unit}`,
      "aria-describedby": hint,
      oninput: (event) => {
        put(event.target.value);
        clearFault(event.target);
        form.changed();
      },
    });
    return labelled(at, words, input);
  };
  const line = (at, row, key, took, home) => {
    const known = row.last ? `last time ${row.last} ${unit}` : row.weighs ? `gear.csv: ${row.weighs} ${unit}` : "";
    const hint = known ? h("span", { className: "hint", id: newId("known") }, known) : null;
    return h("fieldset", { className: "left-over" },
      h("legend", {}, named(row.name), row.each ? h("span", { className: "about" }, " (each)") : null,
        hint),
      cell(`took.${at}`, row, "Packed", took[key] ?? "", (text) => (took[key] = text), hint?.id),
      cell(`home.${at}`, row, "Left over", home[key] ?? "", (text) => (home[key] = text)));
  };
  const rows = along(form).filter((row) => row.consumable);
  const says = (text) => Boolean((text ?? "").trim());
  // What is no food and was weighed neither now nor on any trip before is folded away.
  const shown = (row) => row.food || row.last || says(typed.took[row.key]) || says(typed.home[row.key]);
  const lines = (some) => some.map((row) => line(row.key, row, row.key, typed.took, typed.home));
  const fields = lines(rows.filter(shown));
  const others = lines(rows.filter((row) => !shown(row)));
  typed.brought.forEach((each, place) => {
    const thing = offered.things.find((t) => t.item === each.item);
    if (!thing?.consumable) return;
    const [took, home] = ["took", "home"].map((name) => ({
      get [place]() { return each[name]; },
      set [place](text) { each[name] = text; },
    }));
    fields.push(line(`brought.${place}`, thing, place, took, home));
  });
  if (!fields.length && !others.length) return part("home", "What was left over", h("p", {}, "Nothing on the list is eaten or burnt."));
  const food = rows.filter((row) => row.food);
  const rest = () => {
    for (const row of food) if (!(typed.home[row.key] ?? "").trim()) typed.home[row.key] = "0";
    for (const each of typed.brought) {
      const thing = offered.things.find((t) => t.item === each.item);
      if (thing?.food && !each.home.trim()) each.home = "0";
    }
    form.changed();
    form.redraw("home");
    form.focusOn("rest");
    form.say("The blank fields of food are 0 now.");
  };
  return part(
    "home",
    "What was left over",
    h("p", {}, `In ${unit}, as you put it on the scale. A blank says nothing. Food weighs something `,
      "else each time, so what it weighed before is not filled in."),
    h("div", { className: "fields" }, ...fields),
    food.length
      ? h("button", { type: "button", className: "quiet", "data-at": "rest", onclick: rest },
        "Write 0 in the blank fields of food")
      : null,
    others.length
      ? h("details", { className: "more" },
        h("summary", {}, `${others.length} more, never weighed on a trip`),
        h("div", { className: "fields" }, ...others))
      : null,
  );
}
