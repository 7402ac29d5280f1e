// What fired a trap that lies empty: Bayes' rule over a few looks, from the table in the pack.

export function weights(tree, medium, seen) {
  let found = tree.causes.map((cause) => (cause.medium === "any" || cause.medium === medium ? cause.share : 0));
  for (const [key, answer] of Object.entries(seen)) {
    const chances = tree.looks.find((one) => one.key === key).answers[answer];
    found = found.map((weight, at) => weight * chances[at]);
  }
  const total = found.reduce((sum, one) => sum + one, 0);
  return total > 0 ? found.map((one) => one / total) : null;
}

function doubtAfter(look, now) {
  let doubt = 0;
  for (const chances of Object.values(look.answers)) {
    const joint = now.map((weight, at) => weight * chances[at]);
    const total = joint.reduce((sum, one) => sum + one, 0);
    for (const one of joint) if (one > 0) doubt -= one * Math.log(one / total);
  }
  return doubt;
}

// The look that would tell most now; null when enough is known.
export function nextLook(tree, medium, seen) {
  const now = weights(tree, medium, seen);
  const left = tree.looks.filter((look) => !(look.key in seen));
  if (!now || Math.max(...now) >= tree.enough || Object.keys(seen).length >= tree.most || !left.length) return null;
  return left.reduce((best, look) => (doubtAfter(look, now) < doubtAfter(best, now) ? look : best));
}

// Likely causes, the one change, and what the log is to say.
export function verdict(tree, medium, seen) {
  const now = weights(tree, medium, seen);
  if (!now) return null;
  const order = now.map((weight, at) => [weight, at]).sort((a, b) => b[0] - a[0] || a[1] - b[1]);
  const best = tree.causes[order[0][1]];
  const own = tree.seen.find(([look, answer]) => seen[look] === answer);
  const plain = (text) => text.replaceAll(",", " and");
  return {
    causes: order.slice(0, 4).filter(([weight]) => weight >= 0.01).map(([weight, at]) => [tree.causes[at].label, weight]),
    change: best.change,
    details: {
      evidence: own ? own[2] : best.evidence,
      looks: Object.entries(seen).map(([key, answer]) => `${key}: ${plain(answer)}`),
      likely: order.slice(0, 4).filter(([weight]) => weight >= 0.01).map(([weight, at]) => `${plain(tree.causes[at].label)} ${weight.toFixed(2)}`),
      change: best.change,
    },
  };
}
