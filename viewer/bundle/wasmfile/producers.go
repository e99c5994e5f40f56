package wasmfile

import "fmt"

// LanguageVersion is the version of a language in which a module was written, as its custom section "producers"
// says; "" where it does not say. Source: WebAssembly tool conventions, ProducersSection.md, from memory.
func LanguageVersion(sections []Section, language string) (string, error) {
	for _, s := range sections {
		r := reader{s.Body}
		if s.ID != Custom {
			continue
		}
		if name, err := r.vector(); err != nil || string(name) != "producers" {
			continue
		}
		version, err := r.languageVersion(language)
		if err != nil {
			return "", fmt.Errorf("section producers: %w", err)
		}
		return version, nil
	}
	return "", nil
}

func (r *reader) languageVersion(language string) (string, error) {
	fields, err := r.unsigned()
	if err != nil {
		return "", err
	}
	for range fields {
		field, err := r.vector()
		if err != nil {
			return "", err
		}
		values, err := r.unsigned()
		if err != nil {
			return "", err
		}
		for range values {
			name, err := r.vector()
			if err != nil {
				return "", err
			}
			version, err := r.vector()
			if err != nil {
				return "", err
			}
			if string(field) == "language" && string(name) == language {
				return string(version), nil
			}
		}
	}
	return "", nil
}
