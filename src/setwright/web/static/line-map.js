// The line on plain paper: own marks, own grid, nothing from elsewhere. The page works without this.
const sheet = document.getElementById("map-sheet");
const say = document.getElementById("map-say");
const SHAPES = { sound: "sound", thin: "thin", fails: "fails", "cannot tell": "unknown" };
const STEPS = [10, 5, 2, 1, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001, 0.0005];
const NS = "http://www.w3.org/2000/svg";

function drawn(tag, attributes) {
  const made = document.createElementNS(NS, tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  return made;
}

function mark(properties) {
  const holder = document.createElement("span");
  holder.className = "mapmark";
  const box = drawn("svg", { viewBox: "0 0 24 16", width: 24, height: 16, "aria-hidden": "true" });
  const shape = SHAPES[properties.standing];
  if (properties.kind === "base") box.append(drawn("path", { class: "g inkw w-pap", d: "M4 14h16l-8 -12Z" }));
  else if (shape) box.append(drawn("use", { href: "#" + shape }));
  else box.append(drawn("circle", { class: "g inkw w-pap", cx: 12, cy: 8, r: 5.5 }));
  const word = document.createElement("b");
  word.textContent = properties.kind === "base" ? "start" : properties.number;
  holder.append(box, word);
  return L.divIcon({ className: "mapicon", html: holder, iconSize: [48, 48], iconAnchor: [24, 16] });
}

function degrees(value, digits) {
  return value.toFixed(digits);
}

class Grid extends L.LayerGroup {
  onAdd(map) {
    super.onAdd(map);
    this.follow = () => this.draw(map);
    map.on("moveend", this.follow);
    this.follow();
  }
  draw(map) {
    this.clearLayers();
    const seen = map.getBounds();
    const wide = seen.getEast() - seen.getWest();
    const least = Math.min(wide, 2 * (seen.getNorth() - seen.getSouth()));
    const step = STEPS.find((one) => least / one >= 4) || 0.0005;
    const digits = Math.max(0, -Math.floor(Math.log10(step)));
    const style = { className: "mapgrid", interactive: false, weight: 1 };
    for (let x = Math.ceil(seen.getWest() / step) * step; x < seen.getEast(); x += step) {
      this.addLayer(L.polyline([[seen.getSouth(), x], [seen.getNorth(), x]], style));
      this.addLayer(this.label([seen.getNorth(), x], degrees(x, digits), [-4, 0]));
    }
    for (let y = Math.ceil(seen.getSouth() / step) * step; y < seen.getNorth(); y += step) {
      this.addLayer(L.polyline([[y, seen.getWest()], [y, seen.getEast()]], style));
      this.addLayer(this.label([y, seen.getWest()], degrees(y, digits), [-4, 18]));
    }
  }
  label(place, words, iconAnchor) {
    const text = document.createElement("span");
    text.textContent = words;
    const icon = L.divIcon({ className: "maplabel", html: text, iconSize: null, iconAnchor });
    return L.marker(place, { icon, interactive: false, keyboard: false });
  }
}

function start(found) {
  sheet.hidden = false;
  document.querySelector(".mapacts").hidden = false;
  const map = L.map(sheet, { attributionControl: false, zoomSnap: 0.25, zoomDelta: 0.5, minZoom: 2, maxZoom: 20,
    zoomControl: false, zoomAnimation: false, fadeAnimation: false, markerZoomAnimation: false, inertia: false });
  L.control.zoom({ position: "topright" }).addTo(map);
  L.control.scale({ imperial: sheet.dataset.units !== "metric", metric: sheet.dataset.units === "metric", maxWidth: 160 }).addTo(map);
  const areas = found.features.filter((one) => one.geometry && one.geometry.type !== "Point");
  L.geoJSON(areas, { interactive: false, style: (one) => ({ className: "mapline-" + one.properties.kind, weight: 1.5 }) }).addTo(map);
  for (const one of areas.filter((area) => area.properties.kind === "zone")) {
    const text = document.createElement("span");
    text.textContent = one.properties.name;
    L.marker(L.geoJSON(one).getBounds().getCenter(), { icon: L.divIcon({ className: "maplabel", html: text, iconSize: null }), interactive: false, keyboard: false }).addTo(map);
  }
  const points = found.features.filter((one) => one.geometry && one.geometry.type === "Point");
  const sites = [];
  for (const one of points) {
    const place = [one.geometry.coordinates[1], one.geometry.coordinates[0]];
    const site = one.properties.kind === "site";
    const title = site ? `Set ${one.properties.number}, ${one.properties.name}` : "Start of the run";
    const pin = L.marker(place, { icon: mark(one.properties), keyboard: site, interactive: site, title, alt: title }).addTo(map);
    if (site) sites.push({ pin, one, place });
  }
  const bounds = L.latLngBounds(points.map((one) => [one.geometry.coordinates[1], one.geometry.coordinates[0]]));
  const all = () => (bounds.isValid() ? map.fitBounds(bounds.pad(0.15), { maxZoom: 17 }) : map.setView([39, -95], 4));
  all();
  new Grid().addTo(map);
  const missing = found.features.filter((one) => !one.geometry).length;
  const usual = () => {
    say.textContent = missing ? `${missing} sites have no place yet.` : "";
  };
  usual();
  acts(map, sites, all, usual);
}

function acts(map, sites, all, usual) {
  let mode = "";
  const buttons = { add: document.getElementById("map-add"), move: document.getElementById("map-move") };
  const form = document.getElementById("map-moved");
  const set = (wanted) => {
    mode = mode === wanted ? "" : wanted;
    for (const [name, button] of Object.entries(buttons)) button?.setAttribute("aria-pressed", String(mode === name));
    sheet.classList.toggle("mapadding", mode === "add");
    for (const { pin } of sites) pin.dragging[mode === "move" ? "enable" : "disable"]();
    if (mode === "add") say.textContent = "Tap the place of the new set; or move the map and press Enter for its middle.";
    else if (mode === "move") say.textContent = "Drag a set to its new place.";
    else usual();
  };
  document.getElementById("map-all").addEventListener("click", all);
  buttons.add?.addEventListener("click", () => set("add"));
  buttons.move?.addEventListener("click", () => set("move"));
  const add = (place) => {
    const query = new URLSearchParams({ latitude: place.lat.toFixed(6), longitude: place.lng.toFixed(6) });
    location.assign("/edit/site?" + query);
  };
  map.on("click", (event) => mode === "add" && add(event.latlng));
  sheet.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && event.target === sheet && mode === "add") add(map.getCenter());
  });
  for (const { pin, one, place } of sites) {
    const address = "/set/" + encodeURIComponent(one.id);
    pin.on("click", () => mode === "" && location.assign(address));
    pin.on("keypress", (event) => event.originalEvent.key === "Enter" && mode === "" && location.assign(address));
    pin.on("dragend", () => {
      const now = pin.getLatLng();
      form.action = `/edit/site/${encodeURIComponent(one.id)}/move`;
      form.elements.position.value = `${now.lat.toFixed(6)}, ${now.lng.toFixed(6)}`;
      form.hidden = false;
      const gone = map.distance(place, now);
      const far = sheet.dataset.units === "metric" ? `${gone.toFixed(0)} m` : `${(gone / 0.3048).toFixed(0)} ft`;
      say.textContent = `Set ${one.properties.number}, ${one.properties.name}: moved by ${far}.`;
      document.getElementById("map-back").onclick = () => {
        pin.setLatLng(place);
        form.hidden = true;
        usual();
      };
    });
  }
}

try {
  const answer = await fetch("/api/line.geojson");
  if (!answer.ok) throw new Error((await answer.json()).detail);
  start(await answer.json());
} catch (error) {
  say.textContent = `The map cannot be shown: ${error.message}`;
}
