"use strict";
// Water and land on a canvas of our own. What nothing covers keeps the ground of "not assessed".

// The tiles of the hatchings, each drawn once: a browser that is about to print draws no new ones.
routecheck.tiles = {};

// A hatching as a pattern that stays fixed to the map when it is moved.
routecheck.pattern = function (context, style, ratio) {
  var key = style.fill + ratio;
  var one = routecheck.tiles[key] = routecheck.tiles[key] || routecheck.tile(style, ratio);
  var pattern = context.createPattern(one.canvas, "repeat");
  pattern.setTransform(new DOMMatrix().scale(1 / one.scale));
  return pattern;
};

routecheck.tile = function (style, ratio) {
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
  return { canvas: tile, scale: scale };
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
    // For paper a browser plays the strokes of a canvas again, without its hatchings: there the
    // drawing is made aside and goes in as plain pixels.
    var aside = document.documentElement.classList.contains("printing")
      ? document.createElement("canvas") : canvas;
    aside.width = canvas.width;
    aside.height = canvas.height;
    var context = aside.getContext("2d"), corner = this._bounds.min;
    context.setTransform(ratio, 0, 0, ratio, -corner.x * ratio, -corner.y * ratio);
    this._paint(context, this._map, this._bounds, ratio);
    if (aside !== canvas) {
      canvas.getContext("2d").putImageData(context.getImageData(0, 0, aside.width, aside.height), 0, 0);
    }
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
      routecheck.rim(grid).forEach(function (side) {
        var a = project.apply(null, routecheck.corner(grid, side[0], side[1]));
        var b = project.apply(null, routecheck.corner(grid, side[2], side[3]));
        context.beginPath();
        context.moveTo(a[0], a[1]);
        context.lineTo(b[0], b[1]);
        context.stroke();
      });
    });
  };
};

// The sides [row, column, row, column] between cells with a depth and those without, joined
// along the rows.
routecheck.rim = function (grid) {
  if (grid.sides) return grid.sides;
  var sides = [];
  function held(row, column) {
    return row >= 0 && column >= 0 && row < grid.rows && column < grid.columns &&
      grid.look[row * grid.columns + column] >= 0;
  }
  for (var row = 0; row <= grid.rows; row++) {
    var from = -1;
    for (var column = 0; column <= grid.columns; column++) {
      var differs = column < grid.columns && held(row, column) !== held(row - 1, column);
      if (differs && from < 0) from = column;
      if (!differs && from >= 0) {
        sides.push([row, from, row, column]);
        from = -1;
      }
      if (held(row, column) !== held(row, column - 1)) sides.push([row, column, row + 1, column]);
    }
  }
  grid.sides = sides;
  return sides;
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
    // The shores first, then the land over their inner half: no line where two charts join.
    [false, true].forEach(function (structure) {
      var mine = near.filter(function (one) { return one.structure === structure; });
      context.fillStyle = structure ? look.ink : look.fill;
      context.lineWidth = 2.6;
      routecheck.eachShape(context, project, mine, function () { context.stroke(); });
      routecheck.eachShape(context, project, mine, function () { context.fill(); });
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
