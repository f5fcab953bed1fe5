(function () {
  "use strict";
  var pieces = Array.prototype.slice.call(document.querySelectorAll(".piece"));
  var key = "placed " + document.body.getAttribute("data-key");
  var find = function (selector) { return document.querySelector(selector); };
  var shown = 0;

  // A browser may let a file keep nothing; then the ticks last as long as the page is open.
  var kept = [];
  try { kept = JSON.parse(window.localStorage.getItem(key)) || []; } catch (error) { kept = []; }
  function keep() {
    var numbers = pieces.filter(isPlaced).map(numberOf);
    try { window.localStorage.setItem(key, JSON.stringify(numbers)); } catch (error) { return; }
  }

  function numberOf(piece) { return Number(piece.getAttribute("data-number")); }
  function tickOf(piece) { return piece.querySelector("input"); }
  function isPlaced(piece) { return tickOf(piece).checked; }

  function draw() {
    var count = pieces.filter(isPlaced).length;
    pieces.forEach(function (piece, index) {
      piece.classList.toggle("is-shown", index === shown);
      document.getElementById("box-" + numberOf(piece)).classList.toggle("is-placed", isPlaced(piece));
    });
    var placed = isPlaced(pieces[shown]);
    find(".placed").classList.toggle("is-placed", placed);
    find(".placed").setAttribute("aria-pressed", String(placed));
    find(".placed").textContent = placed ? "\u2713 Placed" : "Placed";
    find(".back").disabled = shown === 0;
    find(".next").disabled = shown === pieces.length - 1;
    find(".progress").textContent = count === pieces.length
      ? "All " + count + " are placed."
      : count + " of " + pieces.length + " placed";
    find("footer").hidden = count < pieces.length;
  }

  function show(index) {
    shown = Math.max(0, Math.min(pieces.length - 1, index));
    draw();
    find("main").scrollTop = 0;
    try { window.history.replaceState(null, "", "#" + pieces[shown].id); } catch (error) { return; }
  }

  // The next that is not placed, from this one on and round again; this one, where all are.
  function nextToPlace() {
    for (var k = 1; k <= pieces.length; k += 1) {
      var index = (shown + k) % pieces.length;
      if (!isPlaced(pieces[index])) { return index; }
    }
    return shown;
  }

  function placed() {
    var tick = tickOf(pieces[shown]);
    tick.checked = !tick.checked;
    keep();
    if (tick.checked) { show(nextToPlace()); } else { draw(); }
  }

  pieces.forEach(function (piece) {
    tickOf(piece).checked = kept.indexOf(numberOf(piece)) >= 0;
    tickOf(piece).addEventListener("change", function () { keep(); draw(); });
  });
  find(".back").addEventListener("click", function () { show(shown - 1); });
  find(".next").addEventListener("click", function () { show(shown + 1); });
  find(".placed").addEventListener("click", placed);
  find(".again").addEventListener("click", function () {
    pieces.forEach(function (piece) { tickOf(piece).checked = false; });
    keep();
    show(0);
  });
  document.addEventListener("keydown", function (event) {
    if (event.key === "ArrowLeft") { show(shown - 1); }
    if (event.key === "ArrowRight") { show(shown + 1); }
  });

  document.documentElement.classList.add("stepping");
  find("nav").hidden = false;
  var named = pieces.map(function (piece) { return "#" + piece.id; }).indexOf(window.location.hash);
  show(named >= 0 ? named : isPlaced(pieces[0]) ? nextToPlace() : 0);
}());
