"use strict";
// What is charted, at each place the source that counts there. Names are shown as text only.
(function () {
  var data = JSON.parse(document.getElementById("charts-data").textContent);
  var map = L.map("chart", { attributionControl: false, zoomSnap: 0.25, minZoom: 1, maxZoom: 18 });
  var renderer = L.svg({ padding: 0.5 }), whole = L.latLngBounds([]), boxes = {}, picked = null;
  map.setView([0, 0], 2);
  var Scale = L.Control.Scale.extend({
    _addScales: function (options, name, box) { this._nautical = L.DomUtil.create("div", name, box); },
    _updateScales: function (most) {
      var nmi = most / 1852, shown = this._getRoundNum(nmi * 10000) / 10000;
      this._updateScale(this._nautical, shown + " nmi", shown / nmi);
    }
  });
  new Scale({ maxWidth: 150 }).addTo(map);

  function line(card, name, text) {
    if (!text) return;
    card.appendChild(document.createElement("dt")).textContent = name;
    card.appendChild(document.createElement("dd")).textContent = text;
  }
  function part(parent, tag, cls, text) {
    var made = parent.appendChild(document.createElement(tag));
    if (cls) made.className = cls;
    made.textContent = text;
    return made;
  }
  function holds(source, at) {
    return boxes[source] && boxes[source].contains(at);
  }
  function card(patch, at) {
    var source = data.sources[patch.source], made = document.createElement("div");
    made.className = "card";
    part(made, "h2", "", patch.title || source.name);
    if (patch.means) part(made, "p", "", patch.means);
    var facts = made.appendChild(document.createElement("dl"));
    line(facts, "source", source.name);
    line(facts, "scale, cells", source.detail);
    line(facts, "quality", patch.quality || source.quality);
    line(facts, "datum", patch.datum || source.datum);
    line(facts, "year", patch.year ? String(patch.year) : source.dates);
    var others = data.sources.filter(function (one, i) { return i !== patch.source && holds(i, at); });
    if (others.length) {
      line(facts, "also near", others.slice(0, 8).map(function (one) { return one.name; }).join(", ") +
        (others.length > 8 ? " and " + (others.length - 8) + " more" : ""));
    }
    return made;
  }
  function grow(source, bounds) {
    boxes[source] = boxes[source] ? boxes[source].extend(bounds) : L.latLngBounds(bounds.getSouthWest(), bounds.getNorthEast());
    whole.extend(bounds);
  }
  data.patches.forEach(function (patch) {
    var shape = L.polygon(patch.rings, { renderer: renderer, className: "patch " + patch.looks, fillOpacity: 1, weight: 0.5, smoothFactor: 0.5 });
    shape.on("click", function (event) {
      L.popup({ maxWidth: 300 }).setLatLng(event.latlng).setContent(card(patch, event.latlng)).openOn(map);
    });
    grow(patch.source, shape.getBounds());
    shape.addTo(map);
  });
  data.bare.forEach(function (one) {
    if (!one.box) return;
    var shape = L.rectangle(one.box, { renderer: renderer, className: "bare-box", interactive: false });
    grow(one.source, shape.getBounds());
    shape.addTo(map);
  });

  // A net of meridians and parallels, since there is no other chart underneath.
  var net = L.layerGroup().addTo(map), steps = [30, 10, 5, 2, 1, 0.5, 1 / 6, 1 / 12, 1 / 30, 1 / 60, 1 / 120, 1 / 300];
  function angle(value, plus, minus) {
    var whole = Math.abs(value) + 1e-9, degrees = Math.floor(whole), minutes = (whole - degrees) * 60;
    var said = Math.abs(minutes - Math.round(minutes)) < 0.01 ? String(Math.round(minutes)) : minutes.toFixed(1);
    return degrees + "°" + (said === "0" ? "" : " " + said + "′") + (value < -1e-9 ? minus : plus);
  }
  function name(at, text, anchor) {
    var shown = document.createElement("span");
    shown.textContent = text;
    var icon = L.divIcon({ className: "net-name", html: shown, iconSize: null, iconAnchor: anchor });
    L.marker(at, { icon: icon, interactive: false, keyboard: false }).addTo(net);
  }
  function drawNet() {
    net.clearLayers();
    var seen = map.getBounds(), wide = Math.min(seen.getEast() - seen.getWest(), 360), step = steps[0];
    steps.forEach(function (one) { if (wide / one < 7) step = one; });
    var west = seen.getWest(), south = Math.max(seen.getSouth(), -84), north = Math.min(seen.getNorth(), 84);
    for (var x = Math.ceil(west / step) * step; x < west + wide; x += step) {
      L.polyline([[south, x], [north, x]], { renderer: renderer, className: "net", interactive: false }).addTo(net);
      var right = map.getSize().x - map.latLngToContainerPoint([south, x]).x;
      if (right > 100 && right < map.getSize().x - 170) name([south, x], angle(x > 180 ? x - 360 : x < -180 ? x + 360 : x, "E", "W"), [-3, 16]);
    }
    for (var y = Math.ceil(south / step) * step; y < north; y += step) {
      L.polyline([[y, west], [y, west + wide]], { renderer: renderer, className: "net", interactive: false }).addTo(net);
      name([y, seen.getEast()], angle(y, "N", "S"), [58, 14]);
    }
  }
  // What would be too small to be seen gets a ring; it is no larger in truth for that.
  function ringSmall() {
    Object.keys(boxes).forEach(function (source) {
      var box = boxes[source], a = map.latLngToContainerPoint(box.getSouthWest()), b = map.latLngToContainerPoint(box.getNorthEast());
      if (Math.max(b.x - a.x, a.y - b.y) > 14) return;
      var ring = L.circleMarker(box.getCenter(), { renderer: renderer, radius: 9, className: "ring" }).addTo(net);
      ring.bindTooltip(document.createTextNode(data.sources[source].name).textContent.replace(/[&<>]/g, " "));
      ring.on("click", function () { map.fitBounds(box.pad(0.2), { animate: false }); });
    });
  }
  map.on("moveend", function () { drawNet(); ringSmall(); });

  function fit() {
    map.invalidateSize({ animate: false });
    if (whole.isValid()) map.fitBounds(whole.pad(0.03), { animate: false });
  }
  fit();
  drawNet();
  ringSmall();
  document.querySelectorAll("input[name=view]").forEach(function (input) {
    input.addEventListener("change", function () { document.documentElement.dataset.view = input.value; });
    if (input.checked) document.documentElement.dataset.view = input.value;
  });
  document.querySelectorAll("button[data-source]").forEach(function (button) {
    button.addEventListener("click", function () {
      var box = boxes[Number(button.dataset.source)];
      if (picked) picked.remove();
      if (!box) return;
      picked = L.rectangle(box, { renderer: renderer, className: "picked", interactive: false }).addTo(map);
      map.fitBounds(box.pad(0.2), { animate: false });
    });
  });
  window.addEventListener("beforeprint", function () { document.documentElement.classList.add("printing"); fit(); });
  window.addEventListener("afterprint", function () { document.documentElement.classList.remove("printing"); fit(); });
})();
