#!/usr/bin/env node
import { main } from "../dist/src/entry/cli/main.js";

process.exitCode = await main(process.argv.slice(2));
