(function () {
  "use strict";
  var beside = document.currentScript.dataset.charts;
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
    document.querySelectorAll(".tarebook-figure").forEach(draw);
  }

  // Where the script is not beside the page (it was sent to somebody), its own drawings stay.
  var library = document.createElement("script");
  library.src = beside;
  library.addEventListener("load", function () {
    phone.addEventListener("change", drawAll);
    drawAll();
  });
  document.head.append(library);

  var all = document.getElementById("print-all");
  var opened = [];
  window.addEventListener("beforeprint", function () {
    if (!all || !all.checked) { return; }
    opened = Array.from(document.querySelectorAll("details:not([open])"));
    opened.forEach(function (fold) { fold.open = true; });
  });
  window.addEventListener("afterprint", function () {
    opened.forEach(function (fold) { fold.open = false; });
    opened = [];
  });
})();
