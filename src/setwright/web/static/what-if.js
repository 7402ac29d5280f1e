// The form works without this; with it the figures follow while one chooses.
const form = document.getElementById("whatif");
let asked = 0;

async function follow() {
  const mine = ++asked;
  const fields = [...new FormData(form)].filter(([, value]) => value.trim());
  const query = new URLSearchParams(fields).toString();
  const address = form.action + (query ? "?" + query : "");
  const old = document.getElementById("changed");
  old.classList.add("waits");
  try {
    const answer = await fetch(address, { headers: { "X-Part": "changed" } });
    const text = await answer.text();
    if (mine !== asked) return;
    const made = new DOMParser().parseFromString(text, "text/html").getElementById("changed");
    if (!made) throw new Error("no answer");
    old.replaceWith(document.adoptNode(made));
    history.replaceState(null, "", address);
  } catch {
    if (mine === asked) form.submit();
  }
}

form.addEventListener("change", follow);
form.addEventListener("submit", (event) => {
  event.preventDefault();
  follow();
});
