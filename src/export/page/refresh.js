// Served by `watch --open`: loads the next build when there is one and keeps what the reader has set.
const KEPT = "groovewright " + data.name;
if (painter) {
  const kept = sessionStorage.getItem(KEPT);
  if (kept) {
    sessionStorage.removeItem(KEPT);
    try {
      state.set(JSON.parse(kept));
    } catch {
      // kept by a page of another build of the program: begin afresh
    }
  }
}
const news = new EventSource("news");
news.addEventListener("built", () => {
  if (painter) sessionStorage.setItem(KEPT, JSON.stringify(state.get()));
  location.reload();
});
news.addEventListener("broken", (e) => {
  $("news").textContent = JSON.parse(e.data);
  $("news").hidden = false;
});
