"use strict";
// Water and land on a canvas of our own. What nothing covers keeps the ground of "not assessed".

// The tile of a hatching, as a pattern that stays fixed to the map when it is moved.
routecheck.pattern = function (context, style, ratio) {
  var hatch = style.hatch, step = hatch.step_px, tile = document.createElement("canvas");
  var size = hatch.kind === "none" ? 8 : hatch.kind === "query" ? 2 * step
    : hatch.kind === "dots" ? step : step * Math.SQRT2;
  tile.width = tile.height = Math.round(size * ratio);
  var ink = tile.getContext("2d"), scale = tile.width / size;
  ink.scale(scale, scale);
  ink.fillStyle = style.fill;
  ink.fillRect(0, 0, size, size);
  ink.strokeStyle = ink.fillStyle = style.ink;
  ink.lineWidth = hatch.width_px;
  function slanted(up) {
    ink.beginPath();
    for (var k = -1; k <= 1; k++) {
      ink.moveTo(-size + k * size, up ? 2 * size : -size);
      ink.lineTo(2 * size + k * size, up ? -size : 2 * size);
    }
    ink.stroke();
  }
  if (hatch.kind === "lines") slanted(hatch.angle_deg > 0);
  if (hatch.kind === "cross") { slanted(true); slanted(false); }
  if (hatch.kind === "dots") {
    [[0.25, 0.25], [0.75, 0.75]].forEach(function (at) {
      ink.beginPath();
      ink.arc(at[0] * size, at[1] * size, hatch.width_px * 0.8, 0, 7);
      ink.fill();
    });
  }
  if (hatch.kind === "query") {
    ink.font = "700 13px Georgia, serif";
    ink.textAlign = "center";
    ink.textBaseline = "middle";
    [[0.25, 0.25], [0.75, 0.75]].forEach(function (at) {
      ink.fillText("?", at[0] * size, at[1] * size);
    });
  }
  var pattern = context.createPattern(tile, "repeat");
  pattern.setTransform(new DOMMatrix().scale(1 / scale));
  return pattern;
};

// A renderer without paths of its own: Leaflet moves and scales the canvas while zooming.
routecheck.Canvas = L.Renderer.extend({
  options: { padding: 0.25, pane: "water" },
  initialize: function (paint, options) {
    L.Renderer.prototype.initialize.call(this, options);
    this._paint = paint;
    this._layers = {};
  },
  _initContainer: function () {
    this._container = document.createElement("canvas");
    this._container.setAttribute("aria-hidden", "true");
  },
  _destroyContainer: function () {
    this._container.remove();
    delete this._container;
  },
  _update: function () {
    if (this._map._animatingZoom && this._bounds) return;
    L.Renderer.prototype._update.call(this);
    var canvas = this._container, size = this._bounds.getSize();
    var ratio = Math.min(2, window.devicePixelRatio || 1);
    L.DomUtil.setPosition(canvas, this._bounds.min);
    canvas.width = Math.round(size.x * ratio);
    canvas.height = Math.round(size.y * ratio);
    canvas.style.width = size.x + "px";
    canvas.style.height = size.y + "px";
    var context = canvas.getContext("2d");
    context.setTransform(ratio, 0, 0, ratio, -this._bounds.min.x * ratio, -this._bounds.min.y * ratio);
    this._paint(context, this._map, this._bounds, ratio);
  },
  _updatePaths: function () {}
});

// Pixels of the layer from degrees, as plain arithmetic: a hundred thousand points a frame.
routecheck.projector = function (map) {
  var scale = 256 * Math.pow(2, map.getZoom()), origin = map.getPixelOrigin();
  return function (lon, lat) {
    var sine = Math.sin(Math.max(-85.05, Math.min(85.05, lat)) * Math.PI / 180);
    return [
      (lon / 360 + 0.5) * scale - origin.x,
      (0.5 - Math.log((1 + sine) / (1 - sine)) / (4 * Math.PI)) * scale - origin.y
    ];
  };
};

routecheck.trace = function (context, project, flat, closed) {
  for (var i = 0, x, y; i < flat.length; i += 2) {
    var p = project(flat[i], flat[i + 1]);
    // Corners nearer than half a pixel cannot be told apart.
    if (i && i + 2 < flat.length && Math.abs(p[0] - x) < 0.5 && Math.abs(p[1] - y) < 0.5) continue;
    x = p[0];
    y = p[1];
    if (i) context.lineTo(x, y); else context.moveTo(x, y);
  }
  if (closed) context.closePath();
};

routecheck.seen = function (map, bounds) {
  var a = map.layerPointToLatLng(bounds.min), b = map.layerPointToLatLng(bounds.max);
  return function (box) {
    return box[2] >= a.lng && box[0] <= b.lng && box[3] >= b.lat && box[1] <= a.lat;
  };
};

// One shape at a time: a canvas takes ten thousand small paths in a tenth of the time that it
// takes for one large path of the same lines.
routecheck.eachCell = function (context, project, grid, runs, draw) {
  runs.forEach(function (run) {
    var a = project.apply(null, routecheck.corner(grid, run[0], run[1]));
    var b = project.apply(null, routecheck.corner(grid, run[0], run[2]));
    var c = project.apply(null, routecheck.corner(grid, run[0] + 1, run[2]));
    var d = project.apply(null, routecheck.corner(grid, run[0] + 1, run[1]));
    context.beginPath();
    context.moveTo(a[0], a[1]);
    context.lineTo(b[0], b[1]);
    context.lineTo(c[0], c[1]);
    context.lineTo(d[0], d[1]);
    context.closePath();
    draw();
  });
};

routecheck.eachShape = function (context, project, shapes, draw) {
  shapes.forEach(function (shape) {
    context.beginPath();
    shape.rings.forEach(function (ring) { routecheck.trace(context, project, ring, true); });
    draw(shape);
  });
};

// The ground under everything: what nothing is painted over is not assessed.
routecheck.paintBasis = function (style) {
  return function (context, map, bounds, ratio) {
    var size = bounds.getSize();
    context.fillStyle = routecheck.pattern(context, style, ratio);
    context.fillRect(bounds.min.x, bounds.min.y, size.x, size.y);
  };
};

// The edge of what is charted: a line about every area, of which the water then hides all that
// does not lie at the outer edge.
routecheck.paintEdge = function (water) {
  return function (context, map, bounds) {
    var project = routecheck.projector(map), seen = routecheck.seen(map, bounds);
    function stroke() { context.stroke(); }
    context.strokeStyle = "#17141c";
    context.lineJoin = "round";
    context.lineWidth = 3;
    var shown = water.areas.concat(water.ground).filter(function (one) {
      return one.depth !== null && seen(one.box);
    });
    routecheck.eachShape(context, project, shown, stroke);
    water.grids.forEach(function (grid) {
      Object.keys(grid.runs).forEach(function (look) {
        routecheck.eachCell(context, project, grid, grid.runs[look], stroke);
      });
    });
  };
};

routecheck.paintWater = function (water, styles) {
  // Runs of like cells in each row of each grid, by the layer in which they are painted.
  water.grids.forEach(function (grid) {
    grid.runs = {};
    grid.loose = [];
    for (var row = 0; row < grid.rows; row++) {
      for (var from = 0, to; from < grid.columns; from = to) {
        var base = row * grid.columns, look = grid.look[base + from];
        var partly = grid.partly[base + from];
        for (to = from + 1; to < grid.columns; to++) {
          if (grid.look[base + to] !== look || grid.partly[base + to] !== partly) break;
        }
        if (look < 0) continue;
        (grid.runs[look] = grid.runs[look] || []).push([row, from, to]);
        if (partly) grid.loose.push([row, from, to]);
      }
    }
  });
  var keys = {};
  water.areas.forEach(function (a) { keys[a.layer * 8 + a.band] = true; });
  water.grids.forEach(function (g) { Object.keys(g.runs).forEach(function (k) { keys[k] = true; }); });
  var looks = Object.keys(keys).map(Number).sort(function (a, b) { return a - b; });

  return function (context, map, bounds, ratio) {
    var patterns = styles.map(function (s) { return routecheck.pattern(context, s, ratio); });
    var project = routecheck.projector(map), seen = routecheck.seen(map, bounds);
    var near = water.areas.filter(function (area) { return seen(area.box); });
    // A hair's stroke in the same paint closes the seams between neighbours.
    function paint() {
      context.fill();
      context.stroke();
    }
    context.lineJoin = "round";
    context.lineWidth = 0.8;
    looks.forEach(function (look) {
      context.fillStyle = context.strokeStyle = patterns[look % 8];
      routecheck.eachShape(context, project, near.filter(function (area) {
        return area.layer * 8 + area.band === look;
      }), paint);
      water.grids.forEach(function (grid) {
        if (grid.runs[look]) routecheck.eachCell(context, project, grid, grid.runs[look], paint);
      });
    });
    context.globalAlpha = 0.55;
    context.fillStyle = patterns[0];
    water.grids.forEach(function (grid) {
      routecheck.eachCell(context, project, grid, grid.loose, function () { context.fill(); });
    });
    context.globalAlpha = 1;
    // The edges of the depth areas, faint: they are the charted contours.
    context.strokeStyle = "rgba(42, 17, 64, 0.28)";
    context.lineWidth = 0.7;
    routecheck.eachShape(context, project, near, function () { context.stroke(); });
  };
};

routecheck.paintGround = function (water, look) {
  return function (context, map, bounds, ratio) {
    var project = routecheck.projector(map), seen = routecheck.seen(map, bounds);
    var near = water.ground.filter(function (g) { return seen(g.box); });
    context.lineJoin = context.lineCap = "round";
    context.fillStyle = look.fill;
    context.strokeStyle = look.ink;
    [false, true].forEach(function (structure) {
      context.beginPath();
      near.forEach(function (one) {
        if (one.structure !== structure) return;
        one.rings.forEach(function (ring) { routecheck.trace(context, project, ring, true); });
      });
      context.fillStyle = structure ? look.ink : look.fill;
      context.fill();
      context.lineWidth = 1.2;
      context.stroke();
    });
    context.beginPath();
    near.forEach(function (one) {
      one.lines.forEach(function (line) { routecheck.trace(context, project, line, false); });
    });
    context.lineWidth = 1.8;
    context.stroke();
    context.fillStyle = look.ink;
    near.forEach(function (one) {
      one.points.forEach(function (point) {
        var p = project(point[0], point[1]);
        context.fillRect(p[0] - 2.5, p[1] - 2.5, 5, 5);
      });
    });
  };
};

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
      layer: layer, band: grid.look[cell] % 8, depth: depth, tide: grid.tide, uncertainty: own,
      source: grid.source, datum: grid.datum, partly: grid.partly[cell] === 1
    };
  });
  var land = water.ground.some(function (one) {
    return one.rings.length && in_(one.box) && routecheck.inside(one.rings, lon, lat);
  });
  return land ? { land: true } : best;
};
