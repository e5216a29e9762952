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
          clearFault(event.target);
        },
      }),
      hint,
    );
  const likes = models.map((each) => ({ value: each.trip, label: each.title }));
  const begin = async () => {
    const answer = await form.ask("begin", { typed: fresh });
    if (answer.refused) form.say(answer.refused);
    else if (answer.problems) showFaults(form.el, answer.problems);
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
      field("title", "What it is called", "text"),
      field("start_on", "First day", "date"),
      field("end_on", "Last day", "date"),
      labelled("new.mode", "By", select(modes, "", "not said", (v) => (fresh.mode = v))),
      labelled(
        "new.like",
        "With the list of",
        select(likes, "", "the latest such trip", (v) => (fresh.like = v)),
      ),
    ),
    h("button", { type: "button", className: "main", "data-at": "begin", onclick: begin }, "Begin"),
  );
  return part(
    "choose",
    "Which trip",
    ...faults.map((text) => h("p", { className: "notice" }, text)),
    first.length ? choices(first) : h("p", {}, "No trip waits to be written down."),
    begins,
    others.length
      ? h("details", { className: "more" }, h("summary", {}, "Another trip"), choices(others))
      : null,
  );
}

function choice(form, trip) {
  const about = [trip.when, trip.about].filter(Boolean).join(", ");
  return h(
    "li",
    {},
    h(
      "button",
      { type: "button", "data-trip": trip.trip, onclick: () => form.open(trip.trip) },
      h("strong", {}, named(trip.title)),
      h("span", { className: "about" }, about),
    ),
  );
}

/** The trip that was chosen: its name and dates, which may be mended. */
function chosen(form, takenUp) {
  const { typed } = form;
  const field = (at, label, input) => {
    input.addEventListener("input", () => {
      typed[at] = input.value;
      clearFault(input);
      form.changed();
      if (input.type === "date") form.redraw("days");
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
          h("button", { type: "button", className: "quiet", onclick: form.afresh },
            "Start again from the files"),
        )
      : null,
    h(
      "div",
      { className: "fields" },
      field("title", "What it is called", h("input", { type: "text", value: typed.title })),
      field("start_on", "First day", h("input", { type: "date", value: typed.start_on })),
      field("end_on", "Last day", h("input", { type: "date", value: typed.end_on })),
      labelled(
        "mode",
        "By",
        select(form.offered.modes, typed.mode, "not said", (value) => {
          typed.mode = value;
          form.changed();
        }),
      ),
    ),
    h("button", { type: "button", className: "quiet", onclick: form.choose }, "Choose another trip"),
  );
}
