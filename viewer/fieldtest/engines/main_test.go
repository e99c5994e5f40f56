package engines

import (
	"testing"

	"headcut/viewer/fieldtest/phone"
)

func TestMain(m *testing.M) { phone.Main(m) }

const property = "Stony Block"
