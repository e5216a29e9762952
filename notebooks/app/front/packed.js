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
      form.changed();
    },
    "went",
  );
  const set = (key, on) => {
    if (on) typed.packed[key] = true;
    else delete typed.packed[key];
    if (!typed.went) {
      typed.went = true;
      went.querySelector("input").checked = true;
    }
    allHome(form, key, on);
    form.changed();
  };
  const groups = sheet.groups
    .map((group) => packedGroup(form, group, set, boxes))
    .filter(Boolean);
  const find = picker({
    at: "find",
    label: "Tick by name",
    hint: "Type the beginning of a name, then Enter.",
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
    h("p", {}, "Tick only what you did not use. What is carried in the hope of not needing it starts out ",
      "ticked: untick what you did use."),
    rows.length ? find.field : h("p", { className: "notice" }, "This trip has no list yet. ",
      "Add what you brought along below."),
    rows.length
      ? h("button", { type: "button", className: "past", "data-at": "past",
          onclick: () => form.focusOn("left") }, "Go on past the list")
      : null,
    h("div", { className: "groups" }, ...groups),
    rows.length ? went : null,
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
  const sealed = rows.every((row) => typed.packed[row.key]);
  inside.hidden = sealed;
  const whole = tick([named(group.name), ", unopened"], sealed, (on) => {
    inside.hidden = on;
    for (const row of rows) {
      set(row.key, true);
      boxes.get(row.key).checked = true;
    }
    if (!on) form.say("Untick what you used of it.");
  }, `sealed.${group.name}`);
  return h("fieldset", {}, h("legend", { className: "away" }, named(group.name)), whole, inside);
}

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
    options: () =>
      offered.things
        .filter((t) => !known.has(t.item) && !typed.brought.some((b) => b.item === t.item))
        .map((t) => ({ value: t.item, name: t.name, about: t.about })),
    choose: ({ value, name }) => {
      typed.brought.push({ item: value, packed: false, home: "" });
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
  const { consumable, took } = sheet.rows[key];
  if (!consumable || !took) return;
  const now = typed.home[key] ?? "";
  if (packed && !now) typed.home[key] = took;
  else if (!packed && now === took) delete typed.home[key];
  else return;
  const field = fieldAt(form.el, `home.${key}`);
  if (field) field.value = typed.home[key] ?? "";
}

/** What came home of what is eaten or burnt. */
function foodHome(form) {
  const { typed, offered } = form;
  const unit = offered.units.mass;
  const line = (at, row, value, put) => {
    const input = h("input", {
      type: "text",
      inputmode: "decimal",
      autocomplete: "off",
      value,
      oninput: (event) => {
        put(event.target.value);
        clearFault(event.target);
        form.changed();
      },
    });
    const each = row.each ? " each" : "";
    const hint = row.took ? `took ${row.took} ${unit}${each}` : `in ${unit}${each}`;
    return labelled(at, named(row.name), input, hint);
  };
  const rows = along(form).filter((row) => row.consumable);
  const fields = rows.map((row) =>
    line(`home.${row.key}`, row, typed.home[row.key] ?? "", (text) => (typed.home[row.key] = text)),
  );
  typed.brought.forEach((each, place) => {
    const thing = offered.things.find((t) => t.item === each.item);
    if (!thing?.consumable) return;
    fields.push(line(`home.brought.${place}`, thing, each.home, (text) => (each.home = text)));
  });
  if (!fields.length) return part("home", "What came home of the food", h("p", {}, "Nothing on the list is eaten or burnt."));
  const rest = () => {
    for (const row of rows) if (!(typed.home[row.key] ?? "").trim()) typed.home[row.key] = "0";
    for (const each of typed.brought) {
      const thing = offered.things.find((t) => t.item === each.item);
      if (thing?.consumable && !each.home.trim()) each.home = "0";
    }
    form.changed();
    form.redraw("home");
    form.focusOn("rest");
    form.say("The blank ones are 0 now.");
  };
  return part(
    "home",
    "What came home of the food",
    h("p", {}, `What was left, in ${unit}, as you put it on the scale. A blank says nothing.`),
    h("div", { className: "fields" }, ...fields),
    h("button", { type: "button", className: "quiet", "data-at": "rest", onclick: rest },
      "Nothing is left of the blank ones"),
  );
}
