// Served by `watch --open`: loads the next build when there is one and keeps what the reader has set.
const KEPT = "groovewright " + data.name;
const kept = sessionStorage.getItem(KEPT);
if (painter && kept) {
  sessionStorage.removeItem(KEPT);
  try {
    state.set(JSON.parse(kept));
  } catch {
    // kept by a page of another build of the program: begin afresh
  }
}
const news = new EventSource("news");
news.addEventListener("build", (e) => {
  if (e.data === document.documentElement.dataset.build) {
    $("news").hidden = true;
    return;
  }
  if (painter) sessionStorage.setItem(KEPT, JSON.stringify(state.get()));
  location.reload();
});
news.addEventListener("broken", (e) => {
  $("news").textContent = "The file cannot be used as it stands; this is the last good build.\n" + JSON.parse(e.data);
  $("news").hidden = false;
});
