/** The engine process: the maker's code runs here and nowhere else. */
import { parts } from "./parts.ts";
import { serve } from "./serve.ts";

serve(parts);
