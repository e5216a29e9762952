(function () {
  "use strict";
  var phone = window.matchMedia("(max-width: 719px)");

  function refuse() {
    return Promise.reject(new Error("a report loads nothing"));
  }

  function draw(figure) {
    var layout = phone.matches ? "narrow" : "wide";
    var plot = figure.querySelector(".plot." + layout);
    var data = figure.querySelector('script.vega-spec[data-layout="' + layout + '"]');
    if (!plot || !data || plot.dataset.drawn) { return; }
    plot.dataset.drawn = "asked";
    var holder = document.createElement("div");
    window.tarebookEmbed(holder, JSON.parse(data.textContent), {
      mode: "vega-lite",
      renderer: "svg",
      actions: false,
      ast: true,
      hover: false,
      logLevel: 1,
      loader: { load: refuse, sanitize: refuse, http: refuse, file: refuse }
    }).then(function () {
      plot.replaceChildren(holder);
      plot.dataset.drawn = "yes";
    }).catch(function () {
      // The drawing that is already there stays.
      plot.dataset.drawn = "no";
    });
  }

  function drawAll() {
    // Without the script beside it (in a page that was sent to somebody), its own drawings stay.
    if (!window.tarebookEmbed) { return; }
    document.querySelectorAll(".tarebook-figure").forEach(draw);
  }

  phone.addEventListener("change", drawAll);
  drawAll();

  var opened = [];
  window.addEventListener("beforeprint", function () {
    opened = Array.from(document.querySelectorAll("details:not([open])"));
    opened.forEach(function (fold) { fold.open = true; });
  });
  window.addEventListener("afterprint", function () {
    opened.forEach(function (fold) { fold.open = false; });
  });
})();
