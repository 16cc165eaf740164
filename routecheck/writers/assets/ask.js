"use strict";
// What lies at a position: the same answer as the painting gives, found by arithmetic.

routecheck.inside = function (rings, lon, lat) {
  var within = false;
  rings.forEach(function (r) {
    for (var i = 0, n = r.length, j = n - 2; i < n; j = i, i += 2) {
      if ((r[i + 1] > lat) !== (r[j + 1] > lat) &&
          lon < (r[j] - r[i]) * (lat - r[i + 1]) / (r[j + 1] - r[i + 1]) + r[i]) within = !within;
    }
  });
  return within;
};

// The cell of a grid at a position, by bisection in the straight-line lattice; null outside.
routecheck.cellAt = function (grid, lon, lat) {
  var row = grid.rows / 2, column = grid.columns / 2;
  for (var turn = 0; turn < 12; turn++) {
    var at = routecheck.corner(grid, row, column);
    var e = routecheck.corner(grid, row, Math.min(column + 0.5, grid.columns));
    var s = routecheck.corner(grid, Math.min(row + 0.5, grid.rows), column);
    var dc = Math.max(1e-9, Math.min(column + 0.5, grid.columns) - column);
    var dr = Math.max(1e-9, Math.min(row + 0.5, grid.rows) - row);
    var ax = (e[0] - at[0]) / dc, ay = (e[1] - at[1]) / dc, bx = (s[0] - at[0]) / dr, by = (s[1] - at[1]) / dr;
    var det = ax * by - ay * bx, x = lon - at[0], y = lat - at[1];
    if (!det) return null;
    column += (x * by - y * bx) / det;
    row += (ax * y - ay * x) / det;
    if (column < -1 || row < -1 || column > grid.columns + 1 || row > grid.rows + 1) return null;
    column = Math.max(0, Math.min(grid.columns - 1e-6, column));
    row = Math.max(0, Math.min(grid.rows - 1e-6, row));
  }
  var back = routecheck.corner(grid, row, column);
  if (Math.abs(back[0] - lon) > 1e-6 || Math.abs(back[1] - lat) > 1e-6) return null;
  return Math.floor(row) * grid.columns + Math.floor(column);
};

// What lies uppermost at a position: land, else the last painted of the water; null for nothing.
routecheck.waterAt = function (water, lon, lat) {
  function in_(box) { return lon >= box[0] && lon <= box[2] && lat >= box[1] && lat <= box[3]; }
  var best = null;
  water.areas.forEach(function (area) {
    if ((best && best.layer > area.layer) || !in_(area.box)) return;
    if (!routecheck.inside(area.rings, lon, lat)) return;
    if (best && best.layer === area.layer && best.depth !== null && best.depth < area.depth) return;
    best = area;
  });
  water.grids.forEach(function (grid) {
    var cell = routecheck.cellAt(grid, lon, lat);
    if (cell === null || grid.look[cell] < 0) return;
    var layer = grid.look[cell] >> 3, depth = grid.depth[cell] / 100;
    if (best && (best.layer > layer || (best.layer === layer && best.depth !== null && best.depth <= depth))) return;
    var own = grid.fixed === null ? null
      : grid.fixed + grid.share * Math.abs(depth) + (grid.tideUncertainty || 0);
    best = {
      layer: layer, band: grid.look[cell] % 8, depth: depth, uncertainty: own,
      tide: grid.tides[Math.floor(Math.floor(cell / grid.columns) / grid.tile) * grid.tileColumns +
        Math.floor(cell % grid.columns / grid.tile)],
      source: grid.source, datum: grid.datum, partly: grid.partly[cell] === 1
    };
  });
  var land = water.ground.some(function (one) {
    return one.rings.length && in_(one.box) && routecheck.inside(one.rings, lon, lat);
  });
  return land ? { land: true } : best;
};
