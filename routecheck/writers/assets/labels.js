"use strict";
// Badges and names find a free place near their spot at every zoom; a hair line leads back to it.
// What finds none shrinks to a dot until there is room: nothing is ever drawn over another.

routecheck.spots = [];

// A marker whose shown part may stand off its spot. `rank`: the lowest is placed first.
routecheck.spot = function (latlng, node, options) {
  var holder = document.createElement("div");
  holder.className = "spot-holder";
  var lead = document.createElement("span");
  lead.className = "lead";
  node.classList.add("spot-body");
  holder.append(lead, node);
  var marker = L.marker(latlng, {
    icon: L.divIcon({ html: holder, className: "spot " + options.className, iconSize: [0, 0] }),
    pane: options.pane,
    keyboard: options.keyboard,
    interactive: options.keyboard,
    riseOnHover: true,
    zIndexOffset: -options.rank
  });
  var one = {
    marker: marker, body: node, lead: lead, rank: options.rank,
    places: options.places, foot: options.foot || null
  };
  routecheck.spots.push(one);
  return marker;
};

// Offsets of the middle of a box from its spot, in pixels.
routecheck.around = function (first, steps, rings) {
  var places = [first];
  rings.forEach(function (radius) {
    for (var i = 0; i < steps; i++) {
      var angle = 2 * Math.PI * i / steps - Math.PI / 4;
      places.push([radius * Math.cos(angle), radius * Math.sin(angle)]);
    }
  });
  return places;
};

routecheck.beside = function (width, height, gap) {
  var x = width / 2 + gap, y = height / 2 + gap;
  return [[x, 0], [-x, 0], [x, -y], [-x, -y], [x, y], [-x, y], [0, -y - 2], [0, y + 2],
    [x + 14, -y - 14], [-x - 14, -y - 14], [x + 14, y + 14], [-x - 14, y + 14],
    [0, -y - 22], [0, y + 22], [x / 2, -y - 30], [-x / 2, -y - 30], [x / 2, y + 30], [-x / 2, y + 30]];
};

// How far a box leaves the map: of two free places the one that can be read whole is better.
routecheck.outside = function (box, view) {
  return Math.max(0, -box[0]) + Math.max(0, -box[1]) + Math.max(0, box[2] - view.x) + Math.max(0, box[3] - view.y);
};

// From a spot to the nearest point of a box about `place`: where its hair line ends.
routecheck.reach = function (place, width, height) {
  var x = Math.sign(place[0]) * Math.max(0, Math.abs(place[0]) - width / 2);
  var y = Math.sign(place[1]) * Math.max(0, Math.abs(place[1]) - height / 2);
  return [x, y];
};

routecheck.arrange = function (map) {
  var taken = [], view = map.getSize(), edge = 80;
  function meets(box, other) {
    return box[0] < other[2] && box[2] > other[0] && box[1] < other[3] && box[3] > other[1];
  }
  function boxAt(at, place, width, height) {
    var x = at.x + place[0], y = at.y + place[1];
    return [x - width / 2 - 1, y - height / 2 - 1, x + width / 2 + 1, y + height / 2 + 1];
  }
  var shown = routecheck.spots.filter(function (one) { return one.marker._icon; });
  // The feet first: no label may hide the spot of another thing.
  var feet = [];
  shown.forEach(function (one) {
    one.at = map.latLngToContainerPoint(one.marker.getLatLng());
    one.near = one.at.x > -edge && one.at.y > -edge && one.at.x < view.x + edge && one.at.y < view.y + edge;
    if (one.foot && one.near) feet.push({ owner: one, box: boxAt(one.at, [0, 0], one.foot, one.foot) });
  });
  shown.sort(function (a, b) { return a.rank - b.rank; });
  shown.forEach(function (one) {
    one.marker._icon.classList.remove("shrunk");
    if (!one.near) return;
    var width = one.body.offsetWidth, height = one.body.offsetHeight, best = null;
    var places = typeof one.places === "function" ? one.places(width, height, map) : one.places;
    places.some(function (place) {
      var box = boxAt(one.at, place, width, height);
      var blocked = taken.some(function (other) { return meets(box, other); }) ||
        feet.some(function (foot) { return foot.owner !== one && meets(box, foot.box); });
      if (blocked) return false;
      var cut = routecheck.outside(box, view);
      if (!best || cut < best.cut) best = { place: place, box: box, cut: cut };
      return cut === 0;
    });
    one.marker._icon.classList.toggle("shrunk", !best);
    if (!best) return;
    taken.push(best.box);
    var place = best.place, lead = routecheck.reach(place, width, height), far = Math.hypot(lead[0], lead[1]);
    one.body.style.transform = "translate(-50%, -50%) translate(" + place[0].toFixed(1) + "px," + place[1].toFixed(1) + "px)";
    one.lead.style.width = far.toFixed(1) + "px";
    one.lead.style.transform = "rotate(" + Math.atan2(lead[1], lead[0]).toFixed(4) + "rad)";
    one.lead.hidden = far < 10;
  });
};

routecheck.keepArranged = function (map) {
  var due = 0;
  function soon() {
    cancelAnimationFrame(due);
    due = requestAnimationFrame(function () { routecheck.arrange(map); });
  }
  map.on("zoomend moveend resize layeradd layerremove", soon);
  soon();
};
