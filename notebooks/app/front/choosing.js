// The first part: which trip it is, or the beginning of a new one.

const WITHOUT_ROWS = ["draft", "plan over", "empty"];

/** The trips to choose from and the fields of a new one. */
function choosing(form) {
  const { trips, models, modes, faults, today } = form.offered;
  const first = trips.filter((trip) => WITHOUT_ROWS.includes(trip.state));
  const others = trips.filter((trip) => !WITHOUT_ROWS.includes(trip.state));
  const choices = (some) => h("ul", { className: "trips" }, ...some.map((t) => choice(form, t)));
  const fresh = { title: "", start_on: "", end_on: "", mode: "", like: "" };
  const field = (at, label, type, hint) =>
    labelled(
      `new.${at}`,
      label,
      h("input", {
        type,
        max: type === "date" ? today : undefined,
        oninput: (event) => {
          fresh[at] = event.target.value;
          fresh.sure = false;
          sure.replaceChildren();
          clearFault(event.target);
          if (type !== "date") return;
          const last = fieldAt(form.el, "new.end_on");
          clearFault(last);
          if (fresh.start_on && fresh.end_on && fresh.end_on < fresh.start_on) {
            showFault(last, "The last day is before the first.");
          }
        },
      }),
      hint,
    );
  const sure = h("div", { role: "status" });
  const likes = models.map((each) => ({ value: each.trip, label: each.title }));
  const like = select(likes, "", "", (v) => (fresh.like = v));
  const nameLatest = () => {
    const latest = models.find((each) => !fresh.mode || each.mode === fresh.mode);
    like.options[0].textContent = latest ? `${latest.title}, the latest` : "all that you own";
  };
  nameLatest();
  const begin = async () => {
    const answer = await form.ask("begin", { typed: fresh });
    if (answer.refused) form.say(answer.refused);
    else if (answer.sure) {
      sure.replaceChildren(h("p", { className: "notice" }, answer.sure));
      fresh.sure = true;
    } else if (answer.problems) showFaults(form.el, answer.problems);
    else {
      form.opened(answer);
      form.changed();
    }
  };
  const begins = h(
    "fieldset",
    { className: "new" },
    h("legend", {}, h("h3", {}, first.length ? "Or begin one" : "Begin a trip")),
    h(
      "div",
      { className: "fields" },
      field("title", "Name of the trip", "text"),
      field("start_on", "First day", "date"),
      field("end_on", "Last day", "date"),
      labelled("new.mode", "How you went", select(modes, "", "no answer", (v) => {
        fresh.mode = v;
        nameLatest();
      })),
      labelled("new.like", "Start from the list of", like),
    ),
    sure,
    h("button", { type: "button", className: "main", "data-at": "begin", onclick: begin }, "Begin"),
  );
  return part(
    "choose",
    "Which trip",
    ...faults.map((text) => h("p", { className: "notice" }, text)),
    first.length ? choices(first) : h("p", {}, "No trip waits to be written down."),
    begins,
    others.length
      ? h("details", { className: "more" }, h("summary", {}, "A trip you have already written down"), choices(others))
      : null,
  );
}

/** Asks once more before a draft is thrown away. */
function throwAway(form, title, act) {
  const holder = h("span", { className: "throw" });
  const ask = h("button", { type: "button", className: "quiet",
    "aria-label": `Throw away the draft of ${title}…` }, "Throw away this draft…");
  const never = h("button", { type: "button", className: "quiet" }, "Keep it");
  const sure = h("button", { type: "button", className: "quiet", onclick: act }, "Throw it away");
  ask.addEventListener("click", () => {
    holder.replaceChildren(h("span", {}, "What is only in the draft goes from this form. "), sure, never);
    never.focus();
  });
  never.addEventListener("click", () => {
    holder.replaceChildren(ask);
    ask.focus();
  });
  holder.append(ask);
  return holder;
}

function choice(form, trip) {
  const about = [trip.when, trip.about].filter(Boolean).join(", ");
  const away = trip.state === "draft"
    ? throwAway(form, trip.title, async () => {
      const told = await form.ask("throw", { trip: trip.trip });
      if (told.refused) return form.say(told.refused);
      form.given = told.offered;
      return form.choose();
    })
    : null;
  return h(
    "li",
    {},
    h(
      "button",
      { type: "button", "data-trip": trip.trip, onclick: () => form.open(trip.trip) },
      h("strong", {}, named(trip.title)),
      h("span", { className: "about" }, about),
    ),
    away,
  );
}

/** Rows of the trip's files that could not be read: what they say is missing on the form. */
function notShown(form) {
  const { notShown: rows } = form;
  return rows.length
    ? h("div", { className: "notice", id: "not-shown" },
        h("p", {}, rows.length === 1 ? "One thing in the files of this trip is not shown here:"
          : "Some of what is in the files of this trip is not shown here:"),
        h("ul", {}, ...rows.map((text) => h("li", {}, text))))
    : null;
}

/** The trip that was chosen: its name and dates, which may be mended. */
function chosen(form, takenUp) {
  const { typed } = form;
  const field = (at, label, input) => {
    input.addEventListener("input", () => {
      typed[at] = input.value;
      clearFault(input);
      form.changed();
      if (input.type !== "date") return;
      if (typed.start_on && typed.end_on && typed.end_on < typed.start_on) {
        showFault(fieldAt(form.el, "end_on"), "The last day is before the first.");
      } else clearFault(fieldAt(form.el, "end_on"));
      form.redraw("days");
    });
    return labelled(at, label, input);
  };
  return part(
    "choose",
    "The trip",
    takenUp
      ? h(
          "p",
          { className: "notice" },
          "Taken up where you left off. ",
          throwAway(form, typed.title || form.base.trip, form.afresh),
        )
      : null,
    notShown(form),
    h(
      "div",
      { className: "fields" },
      field("title", "Name of the trip", h("input", { type: "text", value: typed.title })),
      field("start_on", "First day", h("input", { type: "date", value: typed.start_on })),
      field("end_on", "Last day", h("input", { type: "date", value: typed.end_on })),
      labelled(
        "mode",
        "How you went",
        select(form.offered.modes, typed.mode, "no answer", (value) => {
          typed.mode = value;
          form.changed();
        }),
      ),
    ),
    h("button", { type: "button", className: "quiet", onclick: form.choose }, "Choose another trip"),
  );
}
