import { Host } from "./host.ts";
import { Page } from "./page.ts";
import { Stock } from "./stock.ts";

const host = new Host();
const stock = new Stock();
let page: Page | undefined;

host.listen((message) => {
  switch (message.type) {
    case "setup":
      // Told again when the page asks for everything, the design has moved, or settings have changed.
      page ??= new Page(host, message.words, host.state);
      page.setUp(message);
      break;
    case "show":
      page?.show({ ...message, molds: message.molds && stock.fill(message.molds) });
      break;
    case "stock":
      stock.add(message.stretches);
      host.post({ type: "stocked", number: message.number });
      break;
    case "busy":
      page?.busy(message.on);
      break;
    case "light":
      page?.light(message.calls);
      break;
    case "notice":
      page?.notice(message);
      break;
  }
});
host.post({ type: "ready" });
