import { languageChoices } from "../../device/prefs";
import { text } from "../../text";
import { languageNames } from "../../text/languages";
import { useApp } from "../../view/context";
import { Choices } from "./controls";

/** The language, each by its own name and under a word of both: who can't read the one of now must find it. */
export function LanguageChoice() {
  const { prefs, language } = useApp();
  return (
    <Choices
      name="language"
      legend={text.settings.language}
      of={languageChoices}
      picked={prefs.language.value}
      words={(l) => (l === "auto" ? text.settings.sameLanguage : languageNames[l])}
      langOf={(l) => (l === "auto" ? undefined : l)}
      onPick={(l) => {
        prefs.language.value = l;
      }}
    >
      {language.failed.value && (
        <p class="problem" role="alert">
          {text.settings.languageFailed}
        </p>
      )}
      <p class="quiet small">{text.settings.notRead}</p>
    </Choices>
  );
}
