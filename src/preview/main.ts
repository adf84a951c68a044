import { Host } from "./host.ts";
import { Page } from "./page.ts";

const host = new Host();
let page: Page | undefined;

host.listen((message) => {
  switch (message.type) {
    case "setup":
      // Told again when the page asks for everything, or the design has moved.
      if (page) page.moved(message.uri);
      else page = new Page(host, message.uri, message.words, host.state);
      break;
    case "show":
      page?.show(message);
      break;
    case "busy":
      page?.busy();
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
