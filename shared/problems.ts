/**
 * English sentences for an evaluation that ended without a design, and for edits that cannot be
 * written, by code. Filled like `messages.ts`.
 */
export const problemMessages = {
  // The text.
  syntax: "This does not parse: {reason}.",
  "no-enum":
    "An enum needs more than its types taken away to run. Use a constant object: const {name} = {…}.",
  "no-namespace": "A namespace cannot be used in a design. Put its contents into a file and import that.",
  "no-parameter-property":
    "A parameter property cannot be used in a design. Declare the field and assign it in the constructor.",
  "no-angle-assertion": "Write the type after the value: value as Type instead of <Type>value.",
  "no-top-level-await": "A design runs in one go: there is no await outside of a function.",
  "no-import-equals": "Write import … from instead of import … =.",
  "no-export-equals": "Write export default instead of export =.",
  "no-dynamic-import": "Write import … from at the top of the file instead of import(…).",
  "no-import-meta": "A design does not know its own address: there is no import.meta.",
  "no-decorator": "Decorators cannot be used in a design.",
  "no-live-export":
    "“{name}” is exported and changed later, inside a function; whoever imports it would not see the change. Export a function that gives its value.",
  "no-bare-default": "Give the exported {what} a name, or end it with a semicolon.",
  "default-twice": "A file has one export default; this is the second.",

  // Its imports.
  "import-package":
    "“{specifier}” cannot be imported. A design imports “slabwright”, “@jscad/modeling”, and .ts and .json files beside it.",
  "import-kind": "“{specifier}” cannot be imported: a design imports .ts and .json files.",
  "import-not-found": "“{specifier}” is not there. Looked for {looked}.",
  "import-outside": "“{specifier}” lies outside of {root}, the folder that holds this design.",
  "import-no-name":
    "“{specifier}” exports no “{name}”. It exports {allowed}. If it is a type, write import type.",
  "import-no-default": "“{specifier}” has no default export. Write import {braces} from “{specifier}”.",
  "import-circle": "This import leads back to where it came from: {chain}.",
  "json-syntax": "This is not JSON: {reason}.",
  "text-too-long":
    "{file} has {size} MB of text; a design is read up to {limit} MB. Move data into a .json file, or cut it.",
  "file-unreadable": "{file} cannot be read: {reason}.",

  // Its run.
  "no-default": "The design exports nothing. End it with export default mold(…).",
  "export-proxy": "A Proxy cannot be exported. Export the mold itself.",
  "param-twice":
    "The name “{name}” belongs to the slider of line {line} already. Give each slider a name of its own.",
  thrown: "{name}: {reason}",
  "thrown-value": "The design threw {value}, which is not an Error.",
  "promise-rejected":
    "A promise was rejected: {reason}. Nothing in a design is awaited; write it without async, and take numbers and drawings from .ts, .json and .svg files beside it.",
  "stack-overflow": "The calls go too deep: a function here calls itself without end.",
  "time-limit":
    "The design ran for {seconds} s and was stopped here. If it needs longer, raise the time limit.",
  "time-limit-unknown":
    "The design ran for {seconds} s and was stopped; where it was is not known, since this host does not let a running program be looked into.",
  "memory-limit":
    "The design used more than {limit} MB of memory and was stopped here. Look for something that grows without end.",
  "memory-limit-unknown":
    "The design used more than {limit} MB of memory and was stopped; where it was is not known.",

  // Edits that cannot be written.
  "edit-value-from": "The value comes from “{name}”, line {line}.",
  "edit-value-shared": "The value comes from “{name}”, line {line}, which is used {count} times.",
  "edit-value-import": "The value of “{name}” comes from “{specifier}”.",
  "edit-value-computed": "The value is computed, line {line}.",
  "edit-spread": "The value may come from “{source}”, line {line}.",
  "edit-no-argument": "The call has no argument {number}.",
  "edit-no-call": "The call is not written out in the design.",
  "edit-no-literal": "{value} cannot be written as a literal.",
  "edit-name-taken": "“{name}” already means something else where the call is.",
} as const satisfies Record<string, string>;

export type ProblemCode = keyof typeof problemMessages;
