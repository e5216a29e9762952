(function () {
  "use strict";
  var LONG = 12;  // rows, as from which tables fold
  var MONTHS = "January February March April May June July August September October November December".split(" ");

  function made(name, text, look) {
    var element = document.createElement(name);
    if (text) { element.textContent = text; }
    if (look) { element.className = look; }
    return element;
  }

  function plain(text) {
    return text.normalize("NFD").replace(/[\u0300-\u036f]/g, "").toLowerCase().replace(/\s+/g, " ").trim();
  }

  // Long tables: a button in each header sorts, a field above filters.

  function shown(row, place) {
    var cell = row.cells[place];
    if (cell && cell.dataset.sort) { return cell.dataset.sort; }  // a day, however it is written
    var text = cell ? cell.innerText || cell.textContent : "";
    return text.replace(/\s+/g, " ").trim();
  }

  function missing(text) { return text === "" || text === "\u2013"; }

  function dayOf(text) {
    if (/^\d{4}-\d\d-\d\d/.test(text)) { return Date.parse(text); }
    var found = /^(?:[A-Z][a-z]{2} )?(\d{1,2}) ([A-Z][a-z]+) (\d{4})/.exec(text);
    var month = found ? MONTHS.indexOf(found[2]) : -1;
    return month < 0 ? NaN : Date.UTC(+found[3], month, +found[1]);
  }

  function numberOf(text) {
    // A true minus, thousands set apart by a narrow space; "at most 4.3" goes by its number.
    var found = /^(?:at (?:least|most) )?([+\u2212-]?\d[\d\s]*(?:\.\d+)?)/.exec(text);
    return found ? parseFloat(found[1].replace(/\s/g, "").replace("\u2212", "-")) : NaN;
  }

  function orderOf(texts) {
    var there = texts.filter(function (text) { return !missing(text); });
    var all = function (read) { return there.every(function (text) { return !isNaN(read(text)); }); };
    var read = all(dayOf) ? dayOf : all(numberOf) ? numberOf : null;
    if (read) { return function (a, b) { return read(a) - read(b); }; }
    return new Intl.Collator("en", { numeric: true, sensitivity: "base" }).compare;
  }

  function sortable(table, rows) {
    var headers = Array.from(table.tHead.rows[0].cells);
    var homes = rows.map(function (row) { return row.parentNode; });
    var groups = Array.from(table.querySelectorAll("tbody .season"));
    var first = table.tBodies[0];

    function put(place, turn) {
      headers.forEach(function (header) { header.removeAttribute("aria-sort"); });
      groups.forEach(function (group) { group.hidden = turn !== 0; });
      if (turn === 0) {
        rows.forEach(function (row, at) { homes[at].append(row); });
        return;
      }
      headers[place].setAttribute("aria-sort", turn > 0 ? "ascending" : "descending");
      var texts = new Map(rows.map(function (row) { return [row, shown(row, place)]; }));
      var order = orderOf(Array.from(texts.values()));
      var sorted = rows.slice().sort(function (one, other) {
        var a = texts.get(one), b = texts.get(other);
        // What is not known comes last, whichever way.
        if (missing(a) || missing(b)) { return missing(a) - missing(b); }
        return turn * order(a, b);
      });
      sorted.forEach(function (row) { first.append(row); });
    }

    headers.forEach(function (header, place) {
      if (!header.textContent.trim()) { return; }
      var button = made("button");
      button.type = "button";
      button.title = "Sort by this column";
      button.append.apply(button, Array.from(header.childNodes));
      header.append(button);
      button.addEventListener("click", function () {
        var now = header.getAttribute("aria-sort");
        put(place, now === null ? 1 : now === "ascending" ? -1 : 0);
        filtered(table);
      });
    });
  }

  function filtered(table) { table.dispatchEvent(new Event("sift")); }

  function filterable(table, rows) {
    var line = made("div", "", "sift");
    var trips = table.classList.contains("trips");
    var label = made("label", trips ? "Find a trip " : "Show only rows with ");
    var field = made("input");
    var told = made("span");
    field.type = "search";
    field.autocomplete = "off";
    told.setAttribute("role", "status");
    label.append(field);
    line.append(label, told);
    // Trips of older seasons stand below the table, by their titles.
    var below = trips ? Array.from(document.querySelectorAll(".older span")) : [];

    function sift() {
      var words = plain(field.value).split(" ").filter(Boolean);
      var left = 0;
      rows.concat(below).forEach(function (row) {
        var text = plain(row.textContent);
        row.hidden = !words.every(function (word) { return text.includes(word); });
        left += row.hidden ? 0 : 1;
      });
      var sorted = table.querySelector("[aria-sort]") !== null;
      table.querySelectorAll("tbody .season").forEach(function (group) {
        group.hidden = sorted || !group.parentNode.querySelector("tr:not(.season):not([hidden])");
      });
      below.forEach(function (one) {
        one.closest("div").hidden = !one.parentNode.querySelector("span:not([hidden])");
      });
      told.textContent = words.length ? left + " of " + (rows.length + below.length) + " shown" : "";
      line.classList.toggle("on", words.length > 0);
    }

    field.addEventListener("input", sift);
    table.addEventListener("sift", sift);
    (table.closest(".tarebook-scroll") || table).before(line);
  }

  document.querySelectorAll(".tarebook-table, .trips").forEach(function (table) {
    var rows = Array.from(table.querySelectorAll("tbody tr:not(.season)"));
    if (rows.length <= LONG || !table.tHead) { return; }
    sortable(table, rows);
    filterable(table, rows);
  });

  // A hint for as long as a table is wider than its room.

  if ("ResizeObserver" in window) {
    var hints = new Map();
    var watch = new ResizeObserver(function (entries) {
      entries.forEach(function (entry) {
        var room = entry.target;
        hints.get(room).hidden = room.scrollWidth <= room.clientWidth + 1;
      });
    });
    document.querySelectorAll(".tarebook-scroll").forEach(function (room) {
      var hint = made("p", "There are more columns: scroll the table sideways.", "sideways");
      hint.hidden = true;
      room.before(hint);
      hints.set(room, hint);
      watch.observe(room);
    });
  }

  // Lists to open one by one, as one packs one bag after the other. On paper all are open.

  var lists = Array.from(document.querySelectorAll(".to-open"));
  var closed = [];
  lists.forEach(function (list) { list.open = false; });
  window.addEventListener("beforeprint", function () {
    closed = lists.filter(function (list) { return !list.open; });
    closed.forEach(function (list) { list.open = true; });
  });
  window.addEventListener("afterprint", function () {
    closed.forEach(function (list) { list.open = false; });
    closed = [];
  });

  function counted() {
    lists.forEach(function (list) {
      var ticks = Array.from(list.querySelectorAll("input[type=checkbox]"));
      var many = ticks.filter(function (box) { return box.checked; }).length;
      var told = list.querySelector("summary > span");
      var plain = told.dataset.plain || told.textContent;
      told.dataset.plain = plain;
      told.textContent = plain + (many ? ", " + many + " of " + ticks.length + " ticked" : "");
    });
    document.querySelectorAll(".ticks").forEach(function (line) {
      line.hidden = !line.parentNode.querySelector(".checklist input:checked");
    });
  }

  // Ticks, remembered in this browser. A list made for another trip, or of a thing whose line has
  // changed, begins without.

  var boxes = Array.from(document.querySelectorAll(".checklist input[type=checkbox]"));
  var store = null;
  try { store = window.localStorage; } catch (refused) { store = null; }
  boxes.forEach(function (box) { box.addEventListener("change", counted); });
  if (!boxes.length || !store) { return; }

  var below = document.querySelector(".tarebook-opening .subtitle");
  var folder = location.pathname.replace(/[^\/]*$/, "");
  var place = ["tarebook-ticks", location.host + folder, document.title, below ? below.textContent : ""].join("\n");
  var counts = new Map();
  var names = new Map(boxes.map(function (box) {
    var section = box.closest("section");
    var name = (section ? section.id : "") + "\n" + box.closest("label").textContent.replace(/\s+/g, " ").trim();
    counts.set(name, (counts.get(name) || 0) + 1);
    return [box, name + "\n" + counts.get(name)];
  }));

  function keep() {
    var ticked = boxes.filter(function (box) { return box.checked; });
    try {
      if (ticked.length) {
        store.setItem(place, JSON.stringify(ticked.map(function (box) { return names.get(box); })));
      } else {
        store.removeItem(place);
      }
    } catch (full) { /* Then a tick lasts as long as the page is open. */ }
  }

  try {
    var kept = JSON.parse(store.getItem(place) || "[]");
    boxes.forEach(function (box) { box.checked = Array.isArray(kept) && kept.includes(names.get(box)); });
  } catch (spoilt) { /* As if there were none. */ }

  boxes.forEach(function (box) { box.addEventListener("change", keep); });
  new Set(boxes.map(function (box) { return box.closest("section"); })).forEach(function (section) {
    if (!section) { return; }
    var line = made("p", "Ticks are kept in this browser only. ", "ticks");
    var clear = made("button", "Untick all of this list");
    clear.type = "button";
    clear.addEventListener("click", function () {
      section.querySelectorAll(".checklist input").forEach(function (box) { box.checked = false; });
      counted();
      keep();
    });
    line.append(clear);
    section.append(line);
  });
  counted();
})();
