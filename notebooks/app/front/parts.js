// What all parts of the form are made of. Text from the logbook only ever becomes text nodes.

/** An element with properties, attributes (those with - or aria) and children. */
function h(tag, about, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(about ?? {})) {
    if (value === undefined || value === null || value === false) continue;
    if (name.startsWith("on")) made.addEventListener(name.slice(2), value);
    else if (name in made && !name.includes("-") && name !== "list") made[name] = value;
    else made.setAttribute(name, value === true ? "" : value);
  }
  made.append(...children.flat().filter((child) => child !== null && child !== undefined));
  return made;
}

/** A name as its owner wrote it, in whichever direction it runs. */
const named = (text) => h("bdi", {}, text);

let counted = 0;
const newId = (stem) => `${stem}-${++counted}`;

/** Asks the Python side; the promise holds its answer. */
function channel(model) {
  const waiting = new Map();
  let last = 0;
  model.on("msg:custom", (answer) => {
    waiting.get(answer.id)?.(answer);
    waiting.delete(answer.id);
  });
  return (ask, about = {}, buffers = []) =>
    new Promise((done) => {
      waiting.set(++last, done);
      model.send({ ...about, id: last, ask }, undefined, buffers);
    });
}

/** A part of the page that folds, with its heading. */
function part(id, title, ...children) {
  return h(
    "details",
    { className: "part", id, open: true },
    h("summary", {}, h("h2", {}, title)),
    h("div", { className: "inside" }, ...children),
  );
}

/** A field with its label above it and room for what is wrong below. ``at`` is its name. */
function labelled(at, label, input, hint = "") {
  const id = newId("field");
  input.id = id;
  input.dataset.at = at;
  const below = hint ? h("span", { className: "hint", id: `${id}-hint` }, hint) : null;
  if (below) input.setAttribute("aria-describedby", below.id);
  return h("div", { className: "field" }, h("label", { htmlFor: id }, label), below, input);
}

/** A select of {value, label}, with a blank first choice where one is given. */
function select(options, value, blank, onchange) {
  const all = blank === null ? options : [{ value: "", label: blank }, ...options];
  return h(
    "select",
    { onchange: (event) => onchange(event.target.value) },
    ...all.map((each) =>
      h("option", { value: each.value, selected: each.value === value }, each.label),
    ),
  );
}

/** A tick with its words, the whole line of which can be touched. */
function tick(words, checked, onchange, at) {
  const box = h("input", {
    type: "checkbox",
    checked,
    onchange: (event) => onchange(event.target.checked),
  });
  if (at) box.dataset.at = at;
  return h("label", { className: "tick" }, box, h("span", {}, ...words));
}

const plain = (text) =>
  text.normalize("NFKD").replace(/\p{M}/gu, "").toLocaleLowerCase();

/** Those of {value, name, about} that a text may mean, the likeliest first. */
function matching(options, text) {
  const words = plain(text).split(/\s+/).filter(Boolean);
  const rank = (each) => {
    const name = plain(each.name);
    if (name.startsWith(words[0])) return 0;
    return name.split(/[^\p{L}\p{N}]+/u).some((word) => word.startsWith(words[0])) ? 1 : 2;
  };
  return options
    .filter((each) => {
      const all = plain(`${each.name} ${each.value}`);
      return words.every((word) => all.includes(word));
    })
    .sort((one, other) => rank(one) - rank(other))
    .slice(0, 8);
}

/**
 * A text field that offers names as one types: arrow keys and Enter choose, so does a touch.
 * ``free``: any text will do, and what is chosen fills it; else the field empties on a choice.
 */
function picker({ at, label, hint, options, choose, free = false, value = "", changed }) {
  const listId = newId("names");
  let found = [];
  let active = -1;
  const list = h("ul", { id: listId, role: "listbox", "aria-label": label, hidden: true });
  const input = h("input", {
    type: "text",
    value,
    autocomplete: "off",
    spellcheck: false,
    role: "combobox",
    "aria-expanded": "false",
    "aria-controls": listId,
    "aria-autocomplete": "list",
  });
  const field = labelled(at, label, input, hint);
  field.classList.add("picker");
  const close = () => {
    list.hidden = true;
    input.setAttribute("aria-expanded", "false");
    input.removeAttribute("aria-activedescendant");
  };
  const take = (each) => {
    input.value = free ? each.name : "";
    if (!free) changed?.("");
    close();
    clearFault(input);
    choose(each);
  };
  const draw = () => {
    list.replaceChildren(
      ...found.map((each, place) =>
        h(
          "li",
          {
            id: `${listId}-${place}`,
            role: "option",
            "aria-selected": String(place === active),
            onpointerdown: (event) => event.preventDefault(),
            onclick: () => take(each),
          },
          named(each.name),
          each.about ? h("span", { className: "about" }, each.about) : null,
        ),
      ),
    );
    list.hidden = !found.length;
    input.setAttribute("aria-expanded", String(!list.hidden));
    if (active >= 0 && found.length) {
      input.setAttribute("aria-activedescendant", `${listId}-${active}`);
    } else input.removeAttribute("aria-activedescendant");
  };
  const several = () => free ? false
    : found.length > 1 && !found.some((each) => plain(each.name) === plain(input.value.trim()));
  const search = () => {
    found = input.value.trim() ? matching(options(), input.value) : [];
    active = free || !found.length || several() ? -1 : 0;
    draw();
  };
  input.addEventListener("input", () => {
    changed?.(input.value);
    clearFault(input);
    search();
  });
  input.addEventListener("blur", close);
  input.addEventListener("keydown", (event) => {
    if (event.key === "ArrowDown" || event.key === "ArrowUp") {
      if (list.hidden) search();
      if (!found.length) return;
      const step = event.key === "ArrowDown" ? 1 : -1;
      active = (active + step + found.length) % found.length;
      draw();
      event.preventDefault();
    } else if (event.key === "Enter") {
      event.preventDefault();
      if (!list.hidden && active >= 0) take(found[active]);
      else if (!free && input.value.trim()) {
        showFault(input, found.length ? `${found.length} fit. Choose with the arrow keys, or type more.`
          : "Nothing that can be chosen here is called that.");
      }
    } else if (event.key === "Escape" && !list.hidden) {
      close();
      event.preventDefault();
    }
  });
  field.append(list);
  return { field, input };
}

/** Say at a field what is wrong with it. */
function showFault(input, text) {
  clearFault(input);
  const id = newId("fault");
  input.setAttribute("aria-invalid", "true");
  input.setAttribute("aria-errormessage", id);
  const row = input.closest("tr");
  if (!row) return input.insertAdjacentElement("afterend", h("span", { className: "fault", id }, text));
  // In a table there is no room in the cell: a row of its own below says it.
  const column = input.closest("td").dataset.label;
  let above = row;
  while (above.nextElementSibling?.classList.contains("fault")) above = above.nextElementSibling;
  above.insertAdjacentElement("afterend", h("tr", { className: "fault", id },
    h("td", { colSpan: row.cells.length }, `${column}: ${text}`)));
}

function clearFault(input) {
  if (!input.hasAttribute("aria-invalid")) return;
  document.getElementById(input.getAttribute("aria-errormessage"))?.remove();
  input.removeAttribute("aria-invalid");
  input.removeAttribute("aria-errormessage");
}

/** The field of a name within the form; names may hold anything. */
const fieldAt = (root, at) =>
  [...root.querySelectorAll("[data-at]")].find((each) => each.dataset.at === at);

/** Say every problem at its field; those without one come back, to be said elsewhere. */
function showFaults(root, problems) {
  for (const input of root.querySelectorAll("[aria-invalid]")) clearFault(input);
  const astray = problems.filter(({ at, text }) => {
    const input = fieldAt(root, at);
    if (input) {
      for (let fold = input.closest("details"); fold; fold = fold.parentElement.closest("details")) {
        fold.open = true;
      }
      showFault(input, text);
    }
    return !input;
  });
  root.querySelector("[aria-invalid]")?.focus();
  return astray;
}

const many = (number, one, several = `${one}s`) => `${number} ${number === 1 ? one : several}`;

const WEEKDAYS = ["Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"];
const MONTHS = ["January", "February", "March", "April", "May", "June", "July", "August",
  "September", "October", "November", "December"];

/** "Fri 1 May" of 2026-05-01. */
function dayWords(iso) {
  const day = new Date(`${iso}T00:00Z`);
  return `${WEEKDAYS[day.getUTCDay()]} ${day.getUTCDate()} ${MONTHS[day.getUTCMonth()]}`;
}

/** Every day from one to another, both included; none where they are no days in order. */
function daysBetween(start, end) {
  const days = [];
  const last = Date.parse(`${end}T00:00Z`);
  for (let at = Date.parse(`${start}T00:00Z`); at <= last && days.length < 401; at += 86400000) {
    days.push(new Date(at).toISOString().slice(0, 10));
  }
  return days;
}
