package eval

import (
	"turnplate/sim"
	"turnplate/site/diag"
	"turnplate/site/model"
	"turnplate/site/value"
)

// SurveyReadings reads a survey's file as readings and Survey do in a notebook. lines are the file's lines that the
// readings stand on.
func SurveyReadings(file string, data []byte) (list []sim.SurveyReading, lines []int, faults diag.List) {
	r, faults := parseReadings(file, data, &value.Axis{})
	if len(faults) > 0 {
		return nil, nil, faults
	}
	s := &scope{page: &Page{}}
	f := model.SchemaOf(surveyType).Field("Readings")
	rows, ok := s.surveyInput(nil, f, r).(*value.List)
	if !ok {
		return nil, nil, s.page.Faults
	}
	for i, item := range rows.Items {
		var one sim.SurveyReading
		b := &model.Binder{}
		if err := b.Bind(&one, item.(*value.Record)); err != nil || len(b.Leaves) > 0 {
			at := rows.Table.Rows[i][0]
			return nil, nil, diag.List{faultAt(file, data, at.Line, at.Col, "", "this reading has no value")}
		}
		list, lines = append(list, one), append(lines, rows.Table.Rows[i][0].Line)
	}
	return list, lines, nil
}
