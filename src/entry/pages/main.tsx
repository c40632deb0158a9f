import { StrictMode } from "react";
import { createRoot } from "react-dom/client";
import { z } from "zod";
import { App } from "./app.tsx";
import { applyTheme, firstTheme } from "./data/theme.ts";
import "./style/index.css";

// No code is made from text in a page: its policy forbids it, and would tell of the try.
z.config({ jitless: true });
applyTheme(firstTheme());
createRoot(document.getElementById("page")!).render(
  <StrictMode>
    <App />
  </StrictMode>,
);
