// First: see there.
import "./data/no-made-code.ts";
import { StrictMode } from "react";
import { createRoot } from "react-dom/client";
import { App } from "./app.tsx";
import { applyTheme, firstTheme } from "./data/theme.ts";
import "./style/index.css";

applyTheme(firstTheme());
createRoot(document.getElementById("page")!).render(
  <StrictMode>
    <App />
  </StrictMode>,
);
