// Prints one JSON line for each made-up person of Open Peeps (CC0): pose, hair, face, and the SVG. Seeded.
const React = require("react");
const { renderToStaticMarkup } = require("react-dom/server");
const peeps = require("react-peeps");
let seed = 20260101;
const random = () => ((seed = (seed * 1103515245 + 12345) & 0x7fffffff) / 0x7fffffff);
const pick = (names) => names[Math.floor(random() * names.length)];
const skins = ["#ffffff", "#f2d3b1", "#c68642", "#8d5524"];
for (const [kind, poses] of [["standing", peeps.StandingPose], ["sitting", peeps.SittingPose], ["bust", peeps.BustPose]]) {
  for (const pose of Object.keys(poses)) {
    for (let i = 0; i < 7; i++) {
      const hair = pick(Object.keys(peeps.Hair)), face = pick(Object.keys(peeps.Face));
      const beard = random() < 0.25 ? pick(Object.keys(peeps.FacialHair)) : "None";
      const accessory = random() < 0.3 ? pick(Object.keys(peeps.Accessories)) : "None";
      const box = kind === "bust" ? { x: "0", y: "0", width: "850", height: "1200" }
        : { x: "-500", y: kind === "sitting" ? "-300" : "-150", width: "2600", height: "2900" };
      const svg = renderToStaticMarkup(React.createElement(peeps.default, {
        body: pose, hair, face, facialHair: beard,
        accessory, strokeColor: "#000", backgroundColor: pick(skins), viewBox: box,
      }));
      console.log(JSON.stringify({ kind, pose, hair, face, beard, accessory, svg }));
    }
  }
}
