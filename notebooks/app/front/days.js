// The days: one small table, filled by hand, from a spreadsheet or from files.

/** The columns of a day. ``leg``: they belong to a way of travelling; ``night``: to nights alone. */
const columnsOf = (units) => [
  { cell: "distance", label: "Distance", unit: units.distance, leg: true, mode: "decimal" },
  { cell: "ascent", label: "Climbing", unit: units.height, leg: true, mode: "decimal" },
  { cell: "low", label: "Low", unit: units.temperature, night: true },
  { cell: "rain", label: "Rain", unit: units.rain === "in" ? "inches, yes or no" : "mm, yes or no" },
  { cell: "sleep", label: "Sleep", unit: "1 to 5", night: true, mode: "numeric" },
  { cell: "warmth", label: "Warmth", unit: "−3 to 3", night: true },
  { cell: "camp", label: "Camp", unit: "1 to 5", mode: "numeric" },
];

const noLeg = () => ({ mode: "", distance: "", ascent: "", hours: "" });

/** What is typed of a day; made where nothing was. */
function dayOf(typed, iso) {
  typed.days[iso] ??= { legs: [], low: "", rain: "", sleep: "", warmth: "", camp: "" };
  if (!typed.days[iso].legs.length) typed.days[iso].legs.push(noLeg());
  return typed.days[iso];
}

function daysTable(form) {
  const { typed, offered } = form;
  const days = daysBetween(typed.start_on, typed.end_on);
  const columns = columnsOf(offered.units);
  const rows = [];
  for (const iso of days) {
    dayOf(typed, iso).legs.forEach((leg, place) => {
      rows.push(dayRow(form, columns, iso, leg, place, iso === days.at(-1)));
    });
  }
  const table = h(
    "table",
    { className: "days" },
    h("thead", {}, h("tr", {}, h("th", { scope: "col" }, "Day"), ...columns.map((column) =>
      h("th", { scope: "col" }, column.label, h("span", { className: "unit" }, column.unit))))),
    h("tbody", {}, ...rows),
  );
  table.addEventListener("keydown", moveInTable);
  table.addEventListener("paste", pasteInTable);
  return part(
    "days",
    "The days",
    filesField(form),
    ...goneDays(form, days),
    days.length ? table : h("p", { className: "notice" }, "Say the first and the last day above."),
    days.length ? anotherWay(form, days) : null,
    h("p", { className: "hint" },
      "Low, sleep and warmth are of the night that begins that day. 5 is best; warmth runs from −3, ",
      "cold, to 3, hot; camp is how pleasant it was. Enter goes down; a column from a spreadsheet ",
      "can be pasted."),
    h("p", { id: "pasted", className: "fault", role: "status" }),
    h("div", { id: "differing", role: "group", "aria-label": "Where files say something else" },
      ...differing(form)),
  );
}

/** What is typed of days that the trip no longer has: it is said, not lost without a word. */
function goneDays(form, days) {
  if (!days.length) return [];
  const columns = columnsOf(form.offered.units);
  return Object.entries(form.typed.days)
    .filter(([iso]) => !days.includes(iso))
    .map(([iso, day]) => [iso, columns.flatMap(({ cell, label, unit, leg }) => {
      const holders = leg ? day.legs : [day];
      return holders.map((each) => (each[cell] ?? "").trim()).filter(Boolean)
        .map((text) => (leg || cell === "low" ? `${label.toLowerCase()} ${text} ${unit}` : `${label.toLowerCase()} ${text}`));
    })])
    .filter(([, said]) => said.length)
    .sort()
    .map(([iso, said]) => h("p", { className: "notice" },
      `This takes away ${dayWords(iso)}: ${said.join(", ")}.`));
}

function dayRow(form, columns, iso, leg, place, last) {
  const day = form.typed.days[iso];
  const by = leg.mode && (place || leg.mode !== form.typed.mode) ? wayWords(form, leg.mode) : "";
  const words = place ? by || "the same day" : [dayWords(iso), by].filter(Boolean).join(", ");
  const cells = columns.map((column) => {
    // A figure that stands there is shown, also where the last day has no night.
    const holds = column.cell === "low" && day.low;
    const fits = place ? column.leg : !(column.night && last) || holds;
    if (!fits) return h("td", { className: "none", "data-label": column.label });
    const holder = column.leg ? leg : day;
    const at = column.leg ? `days.${iso}.legs.${place}.${column.cell}` : `days.${iso}.${column.cell}`;
    const input = h("input", {
      type: "text",
      value: holder[column.cell],
      inputmode: column.mode,
      autocomplete: "off",
      "data-at": at,
      "data-cell": column.cell,
      "aria-label": `${column.label}, ${place ? `${dayWords(iso)}, ` : ""}${words}, ${column.unit}`,
      oninput: (event) => {
        holder[column.cell] = event.target.value;
        clearFault(event.target);
        form.changed();
      },
    });
    return h("td", { "data-label": column.label, "data-unit": column.unit }, input);
  });
  const undo = leg.added
    ? h("button", { type: "button", className: "quiet",
        "aria-label": `Take away ${words} of ${dayWords(iso)}`, onclick: () => {
          day.legs.splice(place, 1);
          form.changed();
          form.redraw("days");
          form.focusOn(`days.${iso}.legs.0.distance`);
        } }, "Undo")
    : null;
  return h("tr", {}, h("th", { scope: "row" }, words, undo), ...cells);
}

/** How one went, as it is said of a distance. */
function wayWords(form, mode) {
  const label = form.offered.modes.find((each) => each.value === mode)?.label ?? mode;
  return mode === "foot" ? "on foot" : `by ${label.toLowerCase()}`;
}

/** Adds a row to a day on which one went by two ways, as by bike and by boat. */
function anotherWay(form, days) {
  const chosen = { day: days[0], mode: "" };
  const { modes } = form.offered;
  const ways = modes.filter((each) => each.value !== "mixed");
  const on = labelled("another.day", "Day",
    select(days.map((day) => ({ value: day, label: dayWords(day) })), chosen.day, null,
      (value) => (chosen.day = value)));
  const way = select(ways, "", "choose one", (value) => {
    chosen.mode = value;
    clearFault(way);
  });
  const add = () => {
    const { legs } = form.typed.days[chosen.day];
    const own = legs.findIndex((leg) => (leg.mode || form.typed.mode) === chosen.mode);
    if (!chosen.mode || own >= 0) {
      showFault(way, chosen.mode ? `${dayWords(chosen.day)} has a row of that already.`
        : "Which way was it?");
      return way.focus();
    }
    // Where the trip does not say how one went, the blank row of the day is for the first way.
    const open = !form.typed.mode || form.typed.mode === "mixed";
    const blank = (leg) => !leg.mode && !leg.distance.trim() && !leg.ascent.trim();
    const place = open && blank(legs[0]) ? 0 : legs.length;
    if (place) legs.push({ ...noLeg(), mode: chosen.mode, added: true });
    else legs[0].mode = chosen.mode;
    form.changed();
    form.redraw("days");
    return form.focusOn(`days.${chosen.day}.legs.${place}.distance`);
  };
  return h("details", { className: "more", id: "another" },
    h("summary", { "data-at": "another" }, "Another way of travelling on a day"),
    h("div", { className: "fields" }, on, labelled("another.mode", "How you went", way)),
    h("button", { type: "button", className: "quiet", "data-at": "another.add", onclick: add },
      "Add a row for it"));
}

/** Enter and the arrow keys move from cell to cell; at the edge of a text, or up and down. */
function moveInTable(event) {
  const input = event.target;
  if (!(input instanceof HTMLInputElement) || event.ctrlKey || event.metaKey || event.altKey) return;
  const start = input.selectionStart === 0 && input.selectionEnd === 0;
  const whole = input.selectionStart === 0 && input.selectionEnd === input.value.length;
  const end = input.selectionStart === input.value.length;
  const step = {
    Enter: [event.shiftKey ? -1 : 1, 0],
    ArrowDown: [1, 0],
    ArrowUp: [-1, 0],
    ArrowRight: end || whole ? [0, 1] : null,
    ArrowLeft: start || whole ? [0, -1] : null,
  }[event.key];
  if (!step) return;
  event.preventDefault();
  const next = neighbour(input, ...step);
  next?.focus();
  next?.select();
}

/** The next cell in a direction that can be filled. */
function neighbour(input, down, right) {
  const rows = [...input.closest("tbody").rows].filter((row) => !row.classList.contains("fault"));
  let y = rows.indexOf(input.closest("tr"));
  let x = input.closest("td").cellIndex;
  do {
    y += down;
    x += right;
    const cell = rows[y]?.cells[x];
    if (!cell || cell.tagName === "TH") return null;
    const found = cell.querySelector("input");
    if (found) return found;
  } while (true);
}

/** A block of a spreadsheet fills the cells from here on, down and to the right. */
function pasteInTable(event) {
  const text = event.clipboardData?.getData("text") ?? "";
  const lines = text.replace(/\r\n?/g, "\n").replace(/\n$/, "").split("\n");
  if (lines.length < 2 && !text.includes("\t")) return;
  event.preventDefault();
  const input = event.target;
  const rows = [...input.closest("tbody").rows].filter((row) => !row.classList.contains("fault"));
  const y = rows.indexOf(input.closest("tr"));
  const x = input.closest("td").cellIndex;
  let over = 0;
  lines.forEach((line, down) => line.split("\t").forEach((value, right) => {
    const cell = rows[y + down]?.cells[x + right]?.querySelector("input");
    if (cell) {
      cell.value = value.trim();
      cell.dispatchEvent(new Event("input", { bubbles: true }));
    } else if (value.trim()) over += 1;
  }));
  event.currentTarget.parentElement.querySelector("#pasted").textContent = over
    ? `${many(over, "value")} of what you pasted had no field and ${over === 1 ? "was" : "were"} left out.`
    : "";
}

/** Where tracks and thermometers are put. */
function filesField(form) {
  const choose = h("input", {
    type: "file",
    multiple: true,
    accept: ".gpx,.csv,.txt,.tsv",
    className: "away",
    "data-at": "files",
    onchange: async (event) => {
      await takeFiles(form, [...event.target.files]);
      event.target.value = "";
    },
  });
  const made = form.typed.read.map((file) =>
    h("li", {}, h("strong", {}, named(file.name)),
      ...file.lines.map((line) => h("span", { className: "line" }, line)),
      file.paste ? h("pre", { tabIndex: 0 }, file.paste) : null,
      file.keep ? h("button", { type: "button", className: "quiet",
        "aria-label": `Leave ${file.name} out`, onclick: () => leaveOut(form, file) }, "Leave it out")
        : null));
  return h(
    "div",
    { className: "files" },
    h("p", {}, "Tracks and thermometers fill the days. Drop their files anywhere on this page."),
    h("label", { className: "button" }, choose, "Choose files"),
    h("ul", { "aria-live": "polite" }, ...made),
  );
}

async function takeFiles(form, files) {
  for (const file of files) {
    form.say(`Reading ${file.name}…`);
    const bytes = await file.arrayBuffer();
    const answer = await form.ask("file", { ...form.state(), name: file.name }, [bytes]);
    const { name, kind } = answer.made ?? { name: file.name };
    const others = form.typed.read.filter((each) => each.name !== name && (each.kind !== kind || kind !== "track"));
    form.typed.read = [...others, answer.made ?? { name, lines: [answer.refused] }];
    if (answer.made) fillDays(form, answer.made);
    form.changed();
    form.redraw("days");
    form.say(`${file.name} is read.`);
  }
}

/** A thermometer's file that was to be kept is not; what it filled stays. */
async function leaveOut(form, file) {
  await form.ask("forget", { name: file.name });
  form.typed.read = form.typed.read.filter((each) => each !== file);
  form.changed();
  form.redraw("days");
  form.focusOn("files");
}

/** Blank cells take what a file says, and what a file filled; what a person typed is offered. */
function fillDays(form, { name, kind, days }) {
  const { typed } = form;
  const inside = daysBetween(typed.start_on, typed.end_on);
  for (const [iso, cells] of Object.entries(days)) {
    if (!inside.includes(iso)) continue;
    const day = dayOf(typed, iso);
    const put = (holder, cell, value, at) => {
      if (!value) return;
      const now = holder[cell].trim();
      if (!now || form.typed.filled[at] === now) {
        holder[cell] = value;
        form.typed.filled[at] = value;
      } else if (now !== value && Number(now.replace(",", ".")) !== Number(value)) {
        // Tracks count together: what they said before of the cell is out of date.
        form.typed.offers = form.typed.offers.filter(
          (each) => each.at !== at || (kind !== "track" && each.name !== name),
        );
        typed.offers.push({ at, iso, cell, name, value, now });
      }
    };
    const [leg] = cells.legs;
    if (leg) {
      const own = day.legs.findIndex((each) => !leg.mode || !each.mode || each.mode === leg.mode);
      if (own < 0) {
        day.legs.push({ ...noLeg(), mode: leg.mode });
      }
      const place = own < 0 ? day.legs.length - 1 : own;
      for (const cell of ["distance", "ascent"]) {
        put(day.legs[place], cell, leg[cell], `days.${iso}.legs.${place}.${cell}`);
      }
      if (day.legs[place].distance === leg.distance) day.legs[place].hours ||= leg.hours;
    }
    put(day, "low", cells.low, `days.${iso}.low`);
  }
}

/** What files say otherwise than the person, to be taken or left. */
function differing(form) {
  const units = Object.fromEntries(columnsOf(form.offered.units).map((c) => [c.cell, c]));
  return form.typed.offers.map((offer) => {
    const { label, unit } = units[offer.cell];
    const done = (take) => {
      if (take) {
        const place = /\.legs\.(\d+)\./.exec(offer.at)?.[1];
        const day = dayOf(form.typed, offer.iso);
        (place ? day.legs[Number(place)] : day)[offer.cell] = offer.value;
        form.typed.filled[offer.at] = offer.value;
      }
      form.typed.offers = form.typed.offers.filter((each) => each !== offer);
      form.changed();
      form.redraw("days");
      form.focusOn(offer.at);
    };
    return h(
      "p",
      { className: "notice" },
      named(offer.name),
      ` says ${offer.value} ${unit} for ${dayWords(offer.iso)} (${label.toLowerCase()}). `,
      `You have ${offer.now}. `,
      h("button", { type: "button", className: "quiet", onclick: () => done(true) },
        `Take ${offer.value}`),
      h("button", { type: "button", className: "quiet", onclick: () => done(false) },
        `Leave ${offer.now}`),
    );
  });
}
