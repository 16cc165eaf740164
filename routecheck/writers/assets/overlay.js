"use strict";
// Waypoints, legs, marks and findings. All text from files goes in as text, never as markup.

routecheck.node = function (tag, className, text) {
  var made = document.createElement(tag);
  if (className) made.className = className;
  if (text !== undefined) made.textContent = text;
  return made;
};

// The drawn symbols of marks are our own SVG, made without any text from a file.
routecheck.drawn = function (className, svg) {
  var made = routecheck.node("span", className);
  made.append(document.importNode(
    new DOMParser().parseFromString(svg, "image/svg+xml").documentElement, true));
  return made;
};

routecheck.rows = function (pairs) {
  var list = routecheck.node("dl");
  pairs.forEach(function (pair) {
    if (!pair[1]) return;
    list.append(routecheck.node("dt", "", pair[0]), routecheck.node("dd", "", pair[1]));
  });
  return list;
};

routecheck.sum = function (sums) {
  var table = routecheck.node("table", "sum");
  sums.forEach(function (row) {
    var line = routecheck.node("tr", row.total ? "total" : "");
    line.append(routecheck.node("th", "", row.label));
    var cell = routecheck.node("td", row.text.length > 14 ? "words" : "", row.text);
    cell.dataset.sum = row.key;
    line.append(cell);
    table.append(line);
  });
  return table;
};

routecheck.findingPopup = function (finding) {
  var box = routecheck.node("article", "card " + finding.shape);
  var head = routecheck.node("header");
  head.append(routecheck.node("span", "badge " + finding.shape, String(finding.number)),
    routecheck.node("b", "severity", finding.word));
  box.append(head, routecheck.node("h2", "", finding.title), routecheck.node("p", "place", finding.place));
  if (finding.sums.length) box.append(routecheck.sum(finding.sums));
  box.append(routecheck.node("p", "explanation", finding.explanation));
  if (finding.evidence.length) {
    var list = routecheck.node("ul", "evidence");
    finding.evidence.forEach(function (text) { list.append(routecheck.node("li", "", text)); });
    box.append(list);
  }
  box.append(routecheck.rows([["Position", finding.position], ["When", finding.eta],
    ["Source", finding.source], ["Rests on", finding.rests_on], ["Would settle it", finding.settle]]));
  return box;
};

// A popup that opens by click and by Enter; the focus goes in, and back when it closes.
routecheck.attach = function (marker, node, label) {
  node.tabIndex = -1;
  marker.bindPopup(node, { maxWidth: 340, minWidth: 220, autoPanPadding: [12, 12] });
  marker.on("popupopen", function (event) {
    event.popup.options.maxHeight = Math.max(160, routecheck.map.getSize().y - 90);
    event.popup.update();
  });
  marker.on("add", function () {
    var icon = marker.getElement();
    icon.setAttribute("role", "button");
    icon.setAttribute("aria-label", label);
    icon.setAttribute("aria-haspopup", "dialog");
    if (icon.dataset.ready) return;
    icon.dataset.ready = "yes";
    icon.addEventListener("keydown", function (event) {
      if (event.key !== "Enter" && event.key !== " ") return;
      event.preventDefault();
      event.stopPropagation();
      marker.openPopup();
      node.focus({ preventScroll: true });
    });
  });
  // Leaflet opens popups on its own keypress of Enter too; one of the two is enough.
  marker.off("keypress");
  node.addEventListener("keydown", function (event) {
    if (event.key !== "Escape") return;
    marker.closePopup();
    marker.getElement().focus({ preventScroll: true });
  });
};

routecheck.showFindings = function (map, group) {
  routecheck.data().findings.forEach(function (finding) {
    var badge = routecheck.node("span", "badge " + finding.shape, String(finding.number));
    var marker = routecheck.spot([finding.lat, finding.lon], badge, {
      className: "finding", pane: "findings", keyboard: true, foot: 7,
      rank: finding.weight * 10000 + finding.number,
      places: routecheck.around([0, 0], 12, [27, 40, 56, 74])
    });
    routecheck.attach(marker, routecheck.findingPopup(finding),
      "Finding " + finding.number + ", " + finding.word + ": " + finding.title);
    marker.addTo(group);
    routecheck.findings[finding.number] = marker;
  });
};

routecheck.showMarks = function (map, group) {
  routecheck.data().marks.forEach(function (mark, index) {
    var symbol = routecheck.drawn("mark-body", mark.svg);
    if (mark.track) {
      L.polyline([mark.track, [mark.lat, mark.lon]],
        { className: "pass " + mark.style, interactive: false, pane: "passes" }).addTo(group);
    }
    var marker = L.marker([mark.lat, mark.lon], {
      icon: L.divIcon({ html: symbol, className: "mark-spot", iconSize: [22, 22], iconAnchor: [11, 19] }),
      pane: "marks", keyboard: true, riseOnHover: true
    });
    var box = routecheck.node("article", "card mark-card");
    box.append(routecheck.node("h2", "", mark.name), routecheck.node("p", "place", mark.words),
      routecheck.rows(mark.rows));
    routecheck.attach(marker, box, mark.name + ": " + mark.words);
    marker.addTo(group);
    var tag = routecheck.node("span", "tag " + mark.style, mark.tag);
    routecheck.spot([mark.lat, mark.lon], tag, {
      className: "tag-spot", pane: "names", keyboard: false, rank: 200000 + index, foot: 20,
      places: function (w, h) { return routecheck.beside(w, h, 10); }
    }).addTo(group);
  });
};

routecheck.showTrack = function (map, group) {
  var data = routecheck.data();
  data.waypoints.forEach(function (point, index) {
    L.marker([point.lat, point.lon], {
      icon: L.divIcon({ className: "waypoint", iconSize: [13, 13] }),
      pane: "points", keyboard: false, interactive: false
    }).addTo(group);
    routecheck.spot([point.lat, point.lon], routecheck.node("span", "name", point.name), {
      className: "name-spot", pane: "names", keyboard: false, rank: 300000 + index, foot: 15,
      places: function (w, h) { return routecheck.beside(w, h, 7); }
    }).addTo(group);
  });
  data.legs.forEach(function (leg, index) {
    routecheck.spot([leg.lat, leg.lon], routecheck.node("span", "leg", leg.label), {
      className: "leg-spot", pane: "names", keyboard: false, rank: 400000 + index,
      // Only where the leg is long enough on the screen to be told from its neighbours.
      places: function (w, h, shown) {
        var a = shown.latLngToContainerPoint(leg.from), b = shown.latLngToContainerPoint(leg.to);
        return a.distanceTo(b) < 1.3 * w ? [] : routecheck.beside(w, h, 9).slice(0, 8);
      }
    }).addTo(group);
  });
};

// A scale in nautical miles, with metres or feet under it.
routecheck.Scale = L.Control.Scale.extend({
  _addScales: function (options, className, container) {
    this._miles = L.DomUtil.create("div", className, container);
    this._feet = routecheck.data().unit === "ft";
    this._metres = L.DomUtil.create("div", className, container);
  },
  _updateScales: function (longest) {
    this._bar(this._miles, longest / 1852, " nmi");
    this._bar(this._metres, this._feet ? longest / 0.3048 : longest, this._feet ? " ft" : " m");
  },
  _bar: function (bar, longest, unit) {
    var power = Math.pow(10, Math.floor(Math.log10(longest))), share = longest / power;
    var round = (share >= 5 ? 5 : share >= 2 ? 2 : 1) * power;
    bar.style.width = Math.round(this.options.maxWidth * round / longest) + "px";
    bar.textContent = Number(round.toPrecision(1)) + unit;
  }
});

routecheck.showWater = async function (map, groups) {
  var data = routecheck.data(), note = document.getElementById("routecheck-trouble");
  new routecheck.Canvas(routecheck.paintBasis(data.styles[0]), { pane: "basis" }).addTo(map);
  try {
    var water = await routecheck.unpack();
    routecheck.water = water;
    new routecheck.Canvas(routecheck.paintWater(water, data.styles), { pane: "water" }).addTo(groups.water);
    new routecheck.Canvas(routecheck.paintEdge(water), { pane: "edge" }).addTo(groups.coverage);
    new routecheck.Canvas(routecheck.paintGround(water, data.land), { pane: "ground" }).addTo(groups.ground);
    map.on("click", function (event) { routecheck.askWater(map, groups.water, event.latlng); });
  } catch (trouble) {
    note.hidden = false;
    note.textContent = "The water could not be drawn in this browser, so the map shows none: " +
      "nothing on it is assessed. The findings are complete.";
  }
  document.documentElement.dataset.water = routecheck.water ? "drawn" : "missing";
};

routecheck.askWater = function (map, group, at) {
  if (!map.hasLayer(group)) return;
  var data = routecheck.data(), found = routecheck.waterAt(routecheck.water, at.lng, at.lat);
  var box = routecheck.node("article", "card water-card");
  if (!found) {
    box.append(routecheck.node("h2", "", "Not assessed"),
      routecheck.node("p", "", "No source given covers this place."));
  } else if (found.land) {
    box.append(routecheck.node("h2", "", "Land"));
  } else {
    box.append(routecheck.node("h2", "", data.styles[found.band].words));
    if (found.partly) box.append(routecheck.node("p", "", "Part of this cell has no depth."));
    var rows = [["Source", data.sources[found.source]], ["Datum", data.datums[found.datum]]];
    if (found.depth === null) {
      box.append(routecheck.node("p", "", "No depth is stated here."));
    } else {
      var available = found.depth + found.tide;
      rows = [["Charted depth", routecheck.length(data, found.depth)],
        ["Height of tide", routecheck.length(data, found.tide)],
        ["Available", routecheck.length(data, available)],
        ["Needed", routecheck.length(data, data.needed_m)],
        ["Margin", routecheck.length(data, available - data.needed_m)],
        ["Uncertainty", found.uncertainty === null ? "not stated" : routecheck.length(data, found.uncertainty)]
      ].concat(rows);
    }
    box.append(routecheck.rows(rows));
  }
  L.popup({ maxWidth: 260 }).setLatLng(at).setContent(box).openOn(map);
};

// Rounded down to the centimetre, as all depths on the map.
routecheck.length = function (data, metres) {
  var value = Math.floor(metres * data.per_metre * 100 + 1e-6) / 100;
  return (value < 0 ? "\u2212" : "") + Math.abs(value).toFixed(2) + " " + data.unit;
};

routecheck.panel = function (map, groups) {
  document.querySelectorAll("[data-finding]").forEach(function (button) {
    button.addEventListener("click", function () {
      var marker = routecheck.findings[button.dataset.finding];
      if (!marker) return;
      if (!map.hasLayer(groups.findings)) groups.findings.addTo(map);
      document.getElementById("chart").scrollIntoView({ block: "nearest" });
      map.setView(marker.getLatLng(), Math.max(map.getZoom(), 14), { animate: false });
      marker.openPopup();
    });
  });
};

// The list of layers opens by click or Enter and closes by a click on the map or Escape. Opening
// under a passing pointer, a tick could go astray: the box stays ticked and the layer is gone.
(function () {
  var first = L.Control.Layers.prototype._initLayout;
  L.Control.Layers.include({
    _expandSafely: function () { this.expand(); },
    _initLayout: function () {
      first.call(this);
      var control = this;
      L.DomEvent.off(this._container, { mouseenter: this._expandSafely, mouseleave: this.collapse }, this);
      this._container.addEventListener("keydown", function (event) {
        if (event.key !== "Escape") return;
        control.collapse();
        control._layersLink.focus();
      });
    }
  });
})();

routecheck.panes = function (map) {
  [["basis", 204], ["edge", 207], ["water", 210], ["ground", 220], ["passes", 590], ["points", 605], ["names", 610],
    ["marks", 620], ["findings", 640]].forEach(function (pane) {
    map.createPane(pane[0]).style.zIndex = pane[1];
  });
};

// On paper the map has another shape: it takes it before the print and shows the whole route.
routecheck.print = function (map, whole) {
  var root = document.documentElement, view = null;
  window.addEventListener("beforeprint", function () {
    view = [map.getCenter(), map.getZoom()];
    root.classList.add("printing");
    map.invalidateSize({ animate: false });
    map.fitBounds(whole, { animate: false, padding: [52, 40] });
    routecheck.arrange(map);
  });
  window.addEventListener("afterprint", function () {
    root.classList.remove("printing");
    map.invalidateSize({ animate: false });
    map.setView(view[0], view[1], { animate: false });
  });
};

routecheck.start = function (map, groups, whole) {
  routecheck.map = map;
  map.fitBounds(whole, { animate: false, padding: [52, 40] });
  map.on("popupopen popupclose", function (event) {
    map.getContainer().classList.toggle("reading", event.type === "popupopen");
  });
  routecheck.layers = groups;
  routecheck.showTrack(map, groups.track);
  routecheck.showMarks(map, groups.marks);
  routecheck.showFindings(map, groups.findings);
  routecheck.panel(map, groups);
  routecheck.keepArranged(map);
  routecheck.print(map, whole);
  routecheck.showWater(map, groups);
};
