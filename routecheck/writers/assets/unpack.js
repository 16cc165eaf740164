"use strict";
// The other half of packing.py: whole numbers of 7 bits a byte, the sign in the last bit.
var routecheck = { layers: {}, findings: [], water: null };

routecheck.data = function () {
  return JSON.parse(document.getElementById("routecheck-data").textContent);
};

routecheck.unpack = async function () {
  var text = document.getElementById("routecheck-water").textContent.trim();
  var packed = Uint8Array.from(atob(text), function (c) { return c.charCodeAt(0); });
  var stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("deflate"));
  var bytes = new Uint8Array(await new Response(stream).arrayBuffer());
  return routecheck.decode(bytes);
};

routecheck.decode = function (bytes) {
  var at = 0, STEP = 1e-6;
  function next() {
    var value = 0, factor = 1, byte;
    do {
      byte = bytes[at++];
      value += (byte & 127) * factor;
      factor *= 128;
    } while (byte & 128);
    return value % 2 ? -(value + 1) / 2 : value / 2;
  }
  function optional() {
    var value = next();
    return value === 0 ? null : (value - 1) / 100;
  }
  function line() {
    var count = next(), flat = new Float64Array(2 * count), lon = 0, lat = 0;
    for (var i = 0; i < count; i++) {
      lon += next();
      lat += next();
      flat[2 * i] = lon * STEP;
      flat[2 * i + 1] = lat * STEP;
    }
    return flat;
  }
  function area() {
    var look = next();
    var one = { band: look % 8, layer: look >> 3, source: next(), datum: next() };
    var stated = next(), depth = next() / 100;
    one.depth = stated ? depth : null;
    one.tide = next() / 100;
    one.uncertainty = optional();
    one.rings = [];
    for (var polygons = next(); polygons > 0; polygons--) {
      for (var rings = next(); rings > 0; rings--) one.rings.push(line());
    }
    one.box = routecheck.boxOf(one.rings);
    return one;
  }
  function ground() {
    var one = { structure: next() === 1, points: [], lines: [], rings: [] };
    for (var parts = next(); parts > 0; parts--) {
      var kind = next();
      (kind === 0 ? one.points : kind === 1 ? one.lines : one.rings).push(line());
    }
    one.box = routecheck.boxOf(one.points.concat(one.lines, one.rings));
    return one;
  }
  function sums(count) {
    var made = new Int32Array(count), value = 0;
    for (var i = 0; i < count; i++) {
      value += next();
      made[i] = value;
    }
    return made;
  }
  function grid() {
    var one = { rows: next(), columns: next(), source: next(), datum: next() };
    one.fixed = optional();
    one.share = next() / 1e4;
    one.tideUncertainty = optional();
    one.high = next();
    one.wide = next();
    one.tile = next();
    one.tileRows = next();
    one.tileColumns = next();
    one.tides = [];
    for (var t = one.tileRows * one.tileColumns; t > 0; t--) one.tides.push(next() / 100);
    one.lon = new Float64Array(one.high * one.wide);
    one.lat = new Float64Array(one.high * one.wide);
    for (var i = 0, lon = 0, lat = 0; i < one.lon.length; i++) {
      lon += next();
      lat += next();
      one.lon[i] = lon * STEP;
      one.lat[i] = lat * STEP;
    }
    var cells = one.rows * one.columns;
    one.look = sums(cells);
    one.partly = sums(cells);
    one.depth = sums(cells);
    return one;
  }
  function many(read) {
    var made = [];
    for (var count = next(); count > 0; count--) made.push(read());
    return made;
  }
  var water = { areas: many(area), ground: many(ground), grids: many(grid) };
  if (at !== bytes.length) throw new Error("the water of this page is damaged");
  return water;
};

routecheck.boxOf = function (lines) {
  var box = [Infinity, Infinity, -Infinity, -Infinity];
  lines.forEach(function (flat) {
    for (var i = 0; i < flat.length; i += 2) {
      box[0] = Math.min(box[0], flat[i]);
      box[1] = Math.min(box[1], flat[i + 1]);
      box[2] = Math.max(box[2], flat[i]);
      box[3] = Math.max(box[3], flat[i + 1]);
    }
  });
  return box;
};

// Position of a corner of a grid's cells, straight between the nodes of its lattice.
routecheck.corner = function (grid, row, column) {
  var y = row / grid.rows * (grid.high - 1), x = column / grid.columns * (grid.wide - 1);
  var i = Math.min(Math.floor(y), grid.high - 2), j = Math.min(Math.floor(x), grid.wide - 2);
  var dy = y - i, dx = x - j, a = i * grid.wide + j, b = a + grid.wide;
  function between(v) {
    return (v[a] * (1 - dx) + v[a + 1] * dx) * (1 - dy) + (v[b] * (1 - dx) + v[b + 1] * dx) * dy;
  }
  return [between(grid.lon), between(grid.lat)];
};
